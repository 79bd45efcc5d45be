// What the page knows of a trial without the core, against the core; how it folds taps: test_folding.py.
import assert from "node:assert/strict";
import { test } from "node:test";

import { convert } from "../../dist/page/shared/lengths.mjs";
import { fairOrder } from "../../dist/page/shared/model.mjs";
import { countOf, loadOf } from "../../dist/page/shared/typed.mjs";
import { core } from "./from_core.mjs";

test("a fair order is the core's", () => {
  for (const { keys, session, order } of core.orders) assert.deepEqual(fairOrder([...keys], session), order);
});

test("a load is read as the core reads it", () => {
  for (const { text, unit, kg } of core.masses) {
    const read = loadOf(text, unit);
    if (kg === null) assert.equal(read, null, `“${text}”`);
    else assert.equal(Number(convert(read.number, read.unit, "kg").toPrecision(9)), kg, `“${text}” ${unit}`);
  }
  assert.deepEqual(loadOf("220 lbs", "kg"), { number: 220, unit: "lb" }); // it stays in the unit it names
});

test("reps and reserve are read as the core reads them", () => {
  for (const { text, number } of core.counts) assert.equal(countOf(text), number, `“${text}”`);
});
