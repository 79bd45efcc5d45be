// The trial as the page folds it, against the core's own folding of the same taps.
import assert from "node:assert/strict";
import { test } from "node:test";

import { convert } from "../../site_src/page/lengths.mjs";
import { coming, fairOrder, loadOf, modelOf } from "../../site_src/page/sets/model.mjs";
import { core } from "./from_core.mjs";

const NOT_SEEN = { touch_m: null, mean_arm_m: null, range_of_motion_m: null, off_plan_m: null, off_plan_margin_m: null };

/** Loads to nine digits, as the core keeps them; trials before, which are text, as what they say. */
function comparable({ candidates, sets, next_number, formula, earlier }) {
  const rounded = (set) => ({ ...set, load_kg: Number(set.load_kg.toPrecision(9)), measured: set.measured && { ...NOT_SEEN, ...set.measured } });
  const whole = (candidate) => ({ stroke_m: null, mean_arm_m: null, ...candidate });
  const before = earlier.map((text) => comparable({ ...JSON.parse(text), earlier: [] }));
  return { candidates: candidates.map(whole), sets: sets.map(rounded), next_number, formula, earlier: before };
}

test("taps that wait give the state that the core makes of them", () => {
  assert.ok(core.foldings.some(({ refused }) => refused.length) && core.foldings.some(({ state }) => state.earlier.length));
  for (const [place, { log, pending, state }] of core.foldings.entries()) {
    const model = modelOf(log, pending);
    assert.deepEqual(comparable(model), comparable(state), `folding ${place}`);
    assert.equal(model.canUndo, state.can_undo, `folding ${place}: undo`);
    assert.deepEqual(coming(model, core.today), state.coming, `folding ${place}: what comes`);
  }
});

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
