// Plain numbers for display: where the page reads a number in a text, the core must read the same one.
import assert from "node:assert/strict";
import { test } from "node:test";

import { convert, namesItsUnit, nextStep, plainNumber, show } from "../../dist/page/shared/lengths.mjs";
import { core } from "./from_core.mjs";

const near = (one, other) => assert.ok(Math.abs(one - other) < 1e-9, `${one} is not ${other}`);

test("a number read here is the core's", () => {
  const read = core.lengths.filter(({ text }) => plainNumber(text) !== null);
  assert.ok(read.length >= 4);
  for (const { text, ...metres } of read) {
    for (const unit of ["cm", "in"]) {
      assert.notEqual(metres[unit], null, `the core does not read ${text}`);
      near(convert(plainNumber(text), unit, "cm") / 100, metres[unit]);
    }
  }
});

test("what is a plain number", () => {
  const read = { 61: 61, "61,5": 61.5, " 61.5 ": 61.5, "24 1/2": 24.5, "": null, "1e3": null, "-5": null, "6 1": null, "1/0": null, "61 cm": null };
  for (const [text, number] of Object.entries(read)) assert.equal(plainNumber(text), number, text);
});

test("what the core cannot read is no number here", () => {
  const not = core.lengths.filter(({ cm }) => cm === null);
  assert.ok(not.length >= 3);
  for (const { text } of not) assert.equal(plainNumber(text), null, text);
});

test("a text that names its unit means the same under both, for the core too", () => {
  for (const { text, cm, in: inches } of core.lengths) {
    if (cm !== null) assert.equal(namesItsUnit(text), cm === inches, text);
  }
});

test("units by their definitions: an inch is 2.54 cm, a pound 0.45359237 kg", () => {
  assert.equal(convert(10, "in", "cm"), 25.4);
  assert.equal(convert(100, "lb", "kg"), 45.359237);
  near(convert(convert(61.5, "cm", "in"), "in", "cm"), 61.5);
  assert.equal(convert(7, "kg", "kg"), 7);
});

test("lengths are shown as the core shows them, but for zeros at the end", () => {
  for (const { m, ...texts } of core.shown) {
    assert.equal(show(100 * m, "cm"), String(Number(texts.cm)));
    assert.equal(show(convert(100 * m, "cm", "in"), "in"), String(Number(texts.in)));
  }
  assert.equal(show(176.37, "lb"), "176");
  assert.equal(show(62.04, "cm"), "62");
});

test("a step goes to the next multiple, both ways, and never below one step", () => {
  assert.equal(nextStep(61.2, 0.5, 1), 61.5);
  assert.equal(nextStep(61.2, 0.5, -1), 61);
  assert.equal(nextStep(61.5, 0.5, 1), 62);
  assert.equal(nextStep(61.5, 0.5, -1), 61);
  assert.equal(nextStep(0.3 - 0.2, 0.1, 1), 0.2); // 0.09999999999999998: on the grid but for rounding
  assert.equal(nextStep(0.5, 0.5, -1), 0.5);
  assert.equal(nextStep(0.2, 0.5, -1), 0.5);
});
