// Numbers as typed and shown. The inch is 2.54 cm and the pound 0.45359237 kg by the international agreement of 1959.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { convert, namesItsUnit, nextStep, plainNumber, show } from '../../dist/page/lengths.mjs';

test('what is a plain number', () => {
  const read = { 61: 61, '61,5': 61.5, ' 61.5 ': 61.5, '24 1/2': 24.5, '3/8': 0.375, '': null, '1e3': null, '-5': null, '6 1': null, '1/0': null, '61 cm': null };
  for (const [text, number] of Object.entries(read)) assert.equal(plainNumber(text), number, text);
});

test('inches and pounds', () => {
  assert.equal(convert(1, 'in', 'cm'), 2.54);
  assert.equal(convert(100, 'kg', 'lb'), 100 / 0.45359237);
  assert.equal(show(convert(61, 'cm', 'in'), 'in'), '24.02');
  assert.equal(show(62.04, 'cm'), '62');
});

test('a step goes to the next multiple and never below one', () => {
  assert.equal(nextStep(61, 0.5, 1), 61.5);
  assert.equal(nextStep(61.2, 0.5, 1), 61.5);
  assert.equal(nextStep(61.2, 0.5, -1), 61);
  assert.equal(nextStep(0.5, 0.5, -1), 0.5);
});

test('a text that names its unit', () => {
  for (const text of ['61 cm', '24″', '24"', '61 cm.']) assert.ok(namesItsUnit(text), text);
  for (const text of ['61', '24 1/2', '']) assert.ok(!namesItsUnit(text), text);
});
