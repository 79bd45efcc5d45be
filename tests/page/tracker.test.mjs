// The tracker's parts on painted plates, whose place and shape are known.
import assert from "node:assert/strict";
import { test } from "node:test";

import { Edges, fit, flankOf, moved, supportOf } from "../../dist/page/film/edges.mjs";
import { Looks, findAgain } from "../../dist/page/film/looks.mjs";
import { Patch, RAYS, Strip, axesOf, circle, fromAxes, sizeOf } from "../../dist/page/film/outline.mjs";

const near = (a, b, by) => assert.ok(Math.abs(a - b) <= by, `${a} is not ${b}`);

/** A plate on a wall: `colour(u, v)` in its own coordinates, where the rim is at 1; each pixel the mean of 4 x 4 places. */
function painted(width, height, { x, y, xx, xy, yy }, colour, wall = [60, 70, 80]) {
  const det = xx * yy - xy * xy;
  const data = new Uint8ClampedArray(width * height * 4);
  for (let row = 0; row < height; row++) {
    for (let column = 0; column < width; column++) {
      const sum = [0, 0, 0];
      for (let part = 0; part < 16; part++) {
        const [dx, dy] = [column + ((part % 4) + 0.5) / 4 - x, row + ((part >> 2) + 0.5) / 4 - y];
        const [u, v] = [(yy * dx - xy * dy) / det, (xx * dy - xy * dx) / det];
        const seen = Math.hypot(u, v) < 1 ? colour(u, v) : wall;
        for (let c = 0; c < 3; c++) sum[c] += seen[c] / 16;
      }
      data.set([...sum, 255], 4 * (row * width + column));
    }
  }
  return new Patch({ data, width, height });
}

const RED = () => [200, 30, 40];
/** A face with something on it: rings and two bright spots, so that its turn and place can be told. */
function face(u, v) {
  if (Math.hypot(u - 0.4, v) < 0.15 || Math.hypot(u + 0.1, v - 0.5) < 0.2) return [230, 230, 220];
  return Math.hypot(u, v) < 0.3 ? [90, 90, 95] : [200, 30, 40];
}

test("from a rough guess the edges lead to the rim, to a tenth of a pixel", () => {
  for (const tilt of [0, 35, -70]) {
    const plate = fromAxes({ x: 81.3, y: 78.6, a: 50, b: 46, tilt });
    const patch = painted(160, 160, plate, RED);
    const guess = moved(plate, [1.5, -1, -2, 0.3, -1.5]);
    const edges = new Edges(new Strip(patch, guess, 8));
    const found = fit(edges, guess, [0, 0, 0, 0, 0], { shape: guess, stiff: 3, widths: [4, 3, 2, 1, 1] });
    assert.ok(found);
    const outline = moved(guess, found.change);
    for (const part of ["x", "y", "xx", "xy", "yy"]) near(outline[part], plate[part], 0.1);
    assert.ok(found.sd < 0.1 && found.axesSd < 0.1);
    const support = supportOf(edges, found.change, 1.5);
    assert.equal(support.rays, RAYS);
    assert.ok(support.share > 0.9 && support.contrast > 10);
    near(axesOf(outline).a, 50, 0.15);
  }
});

test("edges vote for the move and the growth that bring a guess onto the rim", () => {
  const patch = painted(160, 160, circle(80, 80, 45), RED);
  const edges = new Edges(new Strip(patch, circle(83, 78, 42), 14));
  const { move } = edges.vote(2, 1, { move: 6, grow: 5, loose: { move: 6, grow: 4 } });
  near(move[0], -3, 1);
  near(move[1], 2, 1);
  near(move[2], 3, 1);
});

test("an even wall has no edges, and no shape is fitted to them", () => {
  const patch = painted(120, 120, circle(60, 60, 40), () => [60, 70, 80]);
  const edges = new Edges(new Strip(patch, circle(60, 60, 40), 8));
  assert.ok(edges.count.every((count) => count === 0));
  assert.equal(fit(edges, circle(60, 60, 40), [0, 0, 0, 0, 0], { shape: circle(60, 60, 40), stiff: 1, widths: [2] }), null);
  assert.equal(supportOf(edges, [0, 0, 0, 0, 0], 2).share, 0);
  assert.equal(flankOf(edges, 40), null);
});

test("a thick plate seen at an angle shows its flank on the side it is turned to", () => {
  const [radius, thick] = [50, 8];
  const front = circle(76, 80, radius);
  const both = painted(160, 160, front, RED);
  const back = painted(160, 160, circle(76 + thick, 80, radius), () => [120, 110, 30]);
  for (let i = 0; i < both.data.length; i += 4) {
    const wall = both.data[i] === 60 && both.data[i + 1] === 70;
    if (wall) both.data.set(back.data.subarray(i, i + 4), i);
  }
  const outer = { ...circle(76 + thick / 2, 80, radius), xx: radius + thick / 2 };
  const shift = flankOf(new Edges(new Strip(both, outer, 14)), radius);
  assert.ok(shift);
  near(shift[0], thick, 2);
  near(shift[1], 0, 2);
});

test("a plate is like itself, also turned, and unlike a wall", () => {
  const plate = circle(80, 80, 40);
  const patch = painted(160, 160, plate, face);
  const looks = new Looks(patch, plate);
  const own = looks.alike(patch, plate);
  assert.ok(own > 0.75, `${own}`); // all but the spots
  near(looks.alike(painted(160, 160, plate, (u, v) => face(v, -u)), plate), own, 0.1);
  assert.ok(looks.alike(painted(160, 160, plate, () => [60, 70, 80]), plate) < 0.3);
});

test("the face is found where it has gone", () => {
  const plate = circle(70, 75, 40);
  const looks = new Looks(painted(160, 160, plate, face), plate);
  const there = painted(160, 160, circle(75.5, 71, 40), face);
  const found = looks.findFace(there, plate, 8);
  near(found.x, 5.5, 0.5);
  near(found.y, -4, 0.5);
  assert.ok(found.alike > 0.95);
});

test("a plate is found again in a wide picture, best place first", () => {
  const known = circle(50, 50, 20);
  const looks = new Looks(painted(100, 100, known, face), known);
  const [best] = findAgain(painted(300, 200, circle(221, 63, 20), face), known, looks);
  near(best.x, 221, 3);
  near(best.y, 63, 3);
  near(sizeOf(best), 20, 1e-9);
  assert.deepEqual(findAgain(painted(300, 200, circle(150, 100, 20), () => [60, 70, 80]), known, looks), []);
});
