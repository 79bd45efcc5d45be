// Between the grid's setups: what the page shows under a finger is near what the core says of that setup.
import assert from "node:assert/strict";
import { test } from "node:test";

import { between, follow, gridOf, handlePlace, placeOf, stopsHere } from "../../dist/page/fit/grid.mjs";
import { core } from "./from_core.mjs";

const feel = gridOf(core.felt.grid);
const within = (one, other, most, what) => assert.ok(Math.abs(one - other) <= most, `${what}: ${one} is not ${other}`);

test("a point of the grid is itself", () => {
  const [grips, touches] = feel.axes.map(({ steps }) => steps);
  for (const i of [0, 3, grips - 1]) {
    for (const j of [0, 2, touches - 1]) {
      const got = between(feel, [i / (grips - 1), j / (touches - 1)]);
      const point = feel.points[i * touches + j];
      for (const key of Object.keys(point.numbers)) within(got.numbers[key], point.numbers[key], 1e-9, key);
      within(got.places.side.bar[0], point.places.side.bar[0], 1e-9, "bar");
    }
  }
});

test("a setup between the points is within what can be set of the core's", () => {
  assert.ok(core.felt.cases.length >= 8);
  for (const { parts, numbers } of core.felt.cases) {
    const got = between(feel, placeOf(feel, parts));
    within(got.parts.grip_m, parts.grip_m, 5e-4, "grip");
    within(got.parts.touch_m, parts.touch_m, 5e-4, "touch");
    within(got.numbers.tuck, numbers.tuck, 1.5, "tuck");
    within(got.numbers.range_of_motion, numbers.range_of_motion, 0.002, "stroke");
    within(got.numbers.touch, numbers.touch, 0.002, "touch on the tape");
  }
});

test("a handle goes where the finger is, and stops at the ends of its axis", () => {
  for (const handle of feel.handles) {
    const start = feel.axes.map(() => 0.5);
    const wished = start.with(handle.axis, 0.3);
    const got = follow(feel, start, handle, handlePlace(feel, wished, handle));
    within(got[handle.axis], 0.3, 0.01, `${handle.view} ${handle.part}`);
    const [x, y] = handlePlace(feel, start.with(handle.axis, 0), handle);
    const [x2, y2] = handlePlace(feel, start.with(handle.axis, 1), handle);
    const beyond = follow(feel, start, handle, [x2 + 5 * (x2 - x), y2 + 5 * (y2 - y)]);
    if (handle.point < 0) within(beyond[handle.axis], 1, 1e-3, "the far end"); // an elbow's way is no line
    assert.deepEqual(got.filter((_, i) => i !== handle.axis), start.filter((_, i) => i !== handle.axis));
  }
});

test("what stops it is said at the ends only", () => {
  assert.equal(stopsHere(feel, [0.5, 0.5], 0), "");
  assert.match(stopsHere(feel, [1, 0.5], 0), /rulebook/);
  assert.ok(stopsHere(feel, [0.7, 0], 1).length > 20);
  assert.notEqual(stopsHere(feel, [0, 0], 1), stopsHere(feel, [1, 0], 1));
});
