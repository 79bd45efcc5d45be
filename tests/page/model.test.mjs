// What the page knows of a trial without the core, against the core; how it folds taps: test_folding.py.
import assert from "node:assert/strict";
import { test } from "node:test";

import { convert } from "../../dist/page/lengths.mjs";
import { fairOrder, loadOf } from "../../dist/page/sets/model.mjs";
import { core } from "./from_core.mjs";

test("a fair order is the core's", () => {
  for (const { keys, session, order } of core.orders) assert.deepEqual(fairOrder([...keys], session), order);
});

test("a load is read as the core reads it", () => {
  for (const { text, unit, kg } of core.masses) {
    const read = loadOf(text, unit);
    if (kg === null) assert.equal(read, null, text);
    else assert.ok(Math.abs(convert(read.number, read.unit, "kg") / kg - 1) < 1e-8, `${text} ${unit}`);
  }
  for (const text of ["", "heavy", "60 stone", "6.1.2"]) assert.equal(loadOf(text, "kg"), null, text);
});
