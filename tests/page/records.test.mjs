// A lifter's record: paths, two writers, soundness; against the golden file that the core opens too.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { blank, faultOf, merged, requestOf, same, settled, tapeOf, textUnder, typedFrom, valueAt } from '../../dist/page/record.mjs';

const golden = JSON.parse(readFileSync(new URL('../core/lifters-1.json', import.meta.url), 'utf8')).lifters;

test('what the golden file holds is sound, and each part is looked at', () => {
  for (const record of golden) assert.equal(faultOf(record), null);
  const [record] = golden;
  for (const part of Object.keys(record)) {
    assert.equal(faultOf({ ...record, [part]: Symbol('odd') }), part);
    const rest = { ...record };
    delete rest[part];
    assert.equal(faultOf(rest), part);
  }
  for (const odd of [null, [], 'text', 5]) assert.equal(faultOf(odd), 'record');
});

test('two tapes of one day are unsound', () => {
  const tape = { date: '2031-05-05', unit: 'cm', fields: {}, choices: {} };
  assert.equal(faultOf({ ...blank('a'), tapes: [tape, { ...tape }] }), 'tapes');
});

test('a path leads to its value, a missing tape to the one before', () => {
  const record = { ...blank('a'), tapes: [{ date: '2031-05-05', unit: 'in', fields: { arm_length: '24' }, choices: { sex: 'female' } }] };
  assert.equal(valueAt(record, 'tapes/2031-06-01/fields/arm_length'), '24');
  assert.equal(valueAt(record, 'tapes/2031-06-01'), null);
  assert.equal(valueAt(record, 'tapes/2031-05-05/choices/sex'), 'female');
  assert.equal(tapeOf(record, '2031-05-04'), null);
  assert.deepEqual(requestOf(tapeOf(record)), { unit: 'in', fields: { arm_length: '24' }, sex: 'female' });
});

test('the first writer stays, the second is a conflict until one is chosen', () => {
  const path = 'tapes/2031-05-05/fields/arm_length';
  const start = merged(blank('a'), {}, { [path]: '61' }, 'one');
  const both = merged(merged(start, { [path]: '61' }, { [path]: '62' }, 'one'), { [path]: '61' }, { [path]: '63' }, 'two');
  assert.equal(valueAt(both, path), '62');
  assert.deepEqual(both.conflicts, [{ path, other: '63', tab: 'two' }]);
  const chosen = settled(both, path, '63');
  assert.equal(valueAt(chosen, path), '63');
  assert.deepEqual(chosen.conflicts, []);
  assert.throws(() => merged(start, {}, { 'nowhere/at': 1 }, 'one'), RangeError);
});

test('two writers of different places both come through, in either order', () => {
  const a = { 'tapes/2031-05-05/fields/arm_length': '61' };
  const b = { 'tapes/2031-05-05/fields/stature': '170', name: 'Mara' };
  const one = merged(merged(blank('a'), {}, a, 'one'), {}, b, 'two');
  const other = merged(merged(blank('a'), {}, b, 'two'), {}, a, 'one');
  assert.ok(same(one.tapes[0].fields, other.tapes[0].fields) && one.name === other.name);
  assert.deepEqual(one.conflicts, []);
});

test('a text keeps its unit when the switch is turned, and comes back as typed', () => {
  for (const [key, text] of [['arm_length', '61,5'], ['arm_length', '24 1/2'], ['body_mass', '83']]) {
    for (const [typed, now] of [['cm', 'in'], ['in', 'cm'], ['cm', 'cm']]) {
      assert.deepEqual(typedFrom(textUnder(now, key, { text, unit: typed }), key, now), { text, unit: typed });
    }
  }
  assert.equal(textUnder('in', 'arm_length', { text: '61 cm', unit: 'cm' }), '61 cm');
});
