// Between the grid's setups: what the page shows under a finger is near what the core says of that setup.
import assert from "node:assert/strict";
import { test } from "node:test";

import { gridOf, handlePlace, moved, nearestOf, numbersAt, partsAt, placeOf, placesOf, stopsHere, wayOf } from "../../dist/page/fit/grid.mjs";
import { core } from "./from_core.mjs";

const grids = Object.fromEntries(Object.entries(core.felt).map(([lift, { grid }]) => [lift, gridOf(grid)]));
const feel = grids.bench;
const within = (one, other, most, what) => assert.ok(Math.abs(one - other) <= most, `${what}: ${one} is not ${other}`);
const between = (grid, at) => ({ numbers: numbersAt(grid, at), parts: partsAt(grid, at) });
const middle = (grid) => grid.axes.map(() => 0.5);

/** The place of a point of the grid on its axes, from its number. */
const placeOfPoint = ({ axes }, number) => axes.reduceRight(([at, left], { steps }) => [[(left % steps) / (steps - 1), ...at], Math.floor(left / steps)], [[], number])[0];

test("a point of the grid is itself", () => {
  for (const [lift, grid] of Object.entries(grids)) {
    for (const [i, point] of core.felt[lift].grid.points.entries()) {
      const at = placeOfPoint(grid, i);
      const got = between(grid, at);
      for (const key of Object.keys(point.numbers)) within(got.numbers[key], point.numbers[key], 1e-9, key);
      for (const [view, parts] of Object.entries(point.places)) {
        const there = placesOf(grid, at, view);
        for (const [part, where] of Object.entries(parts)) {
          const wished = typeof where === "string" ? where.split(/[ ,]/).map(Number) : where;
          assert.equal(there[part].length, wished.length, part);
          for (const [j, number] of wished.entries()) within(there[part][j], number, 0.0501, `${view} ${part}`);
        }
      }
    }
  }
});

test("a setup between the points is within what can be set of the core's", () => {
  for (const [lift, { cases }] of Object.entries(core.felt)) {
    assert.ok(cases.length >= 8);
    for (const { parts, numbers, most } of cases) {
      const got = between(grids[lift], placeOf(grids[lift], parts));
      for (const key of Object.keys(parts)) within(got.parts[key], parts[key], key.endsWith("deg") ? 0.05 : 5e-4, `${lift} ${key}`);
      for (const key of Object.keys(numbers)) within(got.numbers[key], numbers[key], most[key], `${lift} ${key}`);
    }
  }
});

test("a handle goes where the finger is, and stops at the ends of its axis", () => {
  for (const grid of Object.values(grids)) {
    for (const handle of grid.handles) {
      const start = middle(grid);
      const { parts } = between(grid, start);
      const wished = moved(grid, start, handle.axis, 0.3, parts);
      const way = wayOf(grid, start, handle, parts);
      within(nearestOf(way, handlePlace(grid, wished, handle)), 0.3, 0.01, `${handle.view} ${handle.part}`);
      const [x, y] = handlePlace(grid, moved(grid, start, handle.axis, 0, parts), handle);
      const [x2, y2] = handlePlace(grid, moved(grid, start, handle.axis, 1, parts), handle);
      const beyond = nearestOf(way, [x2 + 5 * (x2 - x), y2 + 5 * (y2 - y)]);
      if (handle.point < 0) within(beyond, 1, 1e-2, "the far end"); // an elbow's way is no line
    }
  }
});

test("what is not moved stays, but where the limits push it", () => {
  for (const grid of Object.values(grids)) {
    const start = middle(grid);
    const { parts } = between(grid, start);
    for (const [axis, { part }] of grid.axes.entries()) {
      for (const to of [0, 0.4, 0.6, 1]) {
        const got = moved(grid, start, axis, to, parts);
        const now = between(grid, got).parts;
        assert.equal(got[axis], to);
        for (const [i, other] of grid.axes.entries()) {
          const pushed = got[i] <= 0 || got[i] >= 1;
          if (i !== axis && !pushed) within(now[other.part], parts[other.part], 2e-5, `${other.part} while ${part} moves`);
        }
      }
    }
  }
});

test("what stops it is said at the ends only", () => {
  assert.equal(stopsHere(feel, [0.5, 0.5], 0), "");
  assert.match(stopsHere(feel, [1, 0.5], 0), /rulebook/);
  assert.ok(stopsHere(feel, [0.7, 0], 1).length > 20);
  assert.notEqual(stopsHere(feel, [0, 0], 1), stopsHere(feel, [1, 0], 1));
  for (const grid of Object.values(grids)) {
    for (const axis of grid.axes.keys()) {
      for (const end of [0, 1]) {
        for (let i = 0; i < grid.points.length; i += 1) assert.ok(stopsHere(grid, placeOfPoint(grid, i).with(axis, end), axis).length > 20);
      }
    }
  }
});
