// Setups on a grid, as Python worked them out, and what lies between them: multilinear in the places of the axes.

/** @typedef {{ numbers: Record<string, number>, parts: Kept.Choice, places: Record<string, Record<string, number[]>> }} Point */

/** @typedef {Omit<Core.Feel, "points"> & { points: Point[] }} Grid */

/** @param {Core.Place} where */
const flat = (where) => (typeof where === "string" ? where.split(/[ ,]/).map(Number) : where);

/** @template V, W @param {Record<string, V>} of @param {(value: V, key: string) => W} made @returns {Record<string, W>} */
const each = (of, made) => Object.fromEntries(Object.entries(of).map(([key, value]) => [key, made(value, key)]));

/** The grid with its places as numbers. @param {Core.Feel} feel @returns {Grid} */
export function gridOf(feel) {
  return { ...feel, points: feel.points.map((point) => ({ ...point, places: each(point.places, (parts) => each(parts, flat)) })) };
}

/** The weights of the grid's points at places of the axes, each 0 to 1 or a little beyond. @param {Grid} feel @param {number[]} at @returns {[number, number][]} */
function weights({ axes }, at) {
  /** @type {[number, number][]} */
  let found = [[0, 1]];
  axes.forEach(({ steps }, i) => {
    const along = at[i] * (steps - 1);
    const low = Math.min(Math.max(Math.floor(along), 0), steps - 2);
    const share = along - low;
    found = found.flatMap(([index, weight]) => [
      [index * steps + low, weight * (1 - share)],
      [index * steps + low + 1, weight * share],
    ]);
  });
  return found.filter(([, weight]) => weight);
}

/** @param {[number, number][]} weighed @param {(point: number) => number} value */
const mean = (weighed, value) => weighed.reduce((sum, [point, weight]) => sum + weight * value(point), 0);

/** @param {Grid} feel @param {[number, number][]} weighed @param {string} view @param {string} part */
function place(feel, weighed, view, part) {
  const sums = feel.points[0].places[view][part].map(() => 0);
  for (const [point, weight] of weighed) {
    const where = feel.points[point].places[view][part];
    for (let i = 0; i < sums.length; i += 1) sums[i] += weight * where[i];
  }
  return sums;
}

/** The numbers and parts of a setup between the points. @param {Grid} feel @param {number[]} at */
export function between(feel, at) {
  const weighed = weights(feel, at);
  const [{ numbers, parts }] = feel.points;
  return {
    numbers: each(numbers, (_, key) => mean(weighed, (point) => feel.points[point].numbers[key])),
    parts: /** @type {Kept.Choice} */ (each(parts, (_, key) => mean(weighed, (point) => feel.points[point].parts[key]))),
  };
}

/** Where the moving parts of one drawing are, to the tenth that a drawing is written in. @param {Grid} feel @param {number[]} at @param {string} view */
export function placesOf(feel, at, view) {
  const weighed = weights(feel, at);
  return each(feel.points[0].places[view], (_, part) => place(feel, weighed, view, part).map((value) => Math.round(10 * value) / 10));
}

/** Where a handle is on its part. @param {number[]} where @param {Core.Handle} handle */
export function handleOn(where, { point }) {
  const i = point < 0 ? 0 : 2 * point;
  return [where[i], where[i + 1]];
}

/** Where a handle is, in units of its drawing. @param {Grid} feel @param {number[]} at @param {Core.Handle} handle */
export const handlePlace = (feel, at, handle) => handleOn(place(feel, weights(feel, at), handle.view, handle.part), handle);

/** What a part of the setup is at places of the axes. @param {Grid} feel @param {number[]} at @param {keyof Kept.Choice} part */
const partAt = (feel, at, part) => mean(weights(feel, at), (point) => feel.points[point].parts[part]);

const BESIDE = 0.06; // of an axis: as far as its ends may be off between the points, so that what stands there does not jump

/** The places of the axes whose setup is nearest to given parts, axis for axis; that of number `kept` stays as in `at`. @param {Grid} feel @param {Kept.Choice} parts @param {number[]} at @param {number} kept */
export function placeOf(feel, parts, at = [], kept = -1) {
  /** @type {number[]} no part depends on the axes after its own */
  const found = feel.axes.map(() => 0);
  for (const [i, { part }] of feel.axes.entries()) {
    const [low, high] = [partAt(feel, found.with(i, 0), part), partAt(feel, found.with(i, 1), part)];
    const there = high > low ? (parts[part] - low) / (high - low) : 0;
    found[i] = i === kept ? at[i] : Math.min(Math.max(there, -BESIDE), 1 + BESIDE);
  }
  return found;
}

/** One axis moved; the other parts of the setup stay as they were, or go as far as the limits push them. @param {Grid} feel @param {number[]} at @param {number} axis @param {number} to @param {Kept.Choice} parts as they were */
export const moved = (feel, at, axis, to, parts) => placeOf(feel, parts, at.with(axis, to), axis);

const STRETCHES = 24;

/** The way of a handle in its drawing while its axis goes from end to end. @param {Grid} feel @param {number[]} at @param {Core.Handle} handle @param {Kept.Choice} parts as they were when the finger came down */
export const wayOf = (feel, at, handle, parts) => Array.from({ length: STRETCHES + 1 }, (_, i) => handlePlace(feel, moved(feel, at, handle.axis, i / STRETCHES, parts), handle));

/** How far along a way (0 to 1) it is nearest to a point. @param {number[][]} way @param {number[]} to */
export function nearestOf(way, to) {
  let [best, least] = [0, Infinity];
  for (let i = 1; i < way.length; i += 1) {
    const [[x, y], [nextX, nextY]] = [way[i - 1], way[i]];
    const [dx, dy] = [nextX - x, nextY - y];
    const share = Math.min(Math.max(((to[0] - x) * dx + (to[1] - y) * dy) / (dx * dx + dy * dy || 1), 0), 1);
    const far = Math.hypot(x + share * dx - to[0], y + share * dy - to[1]);
    if (far < least) [best, least] = [(i - 1 + share) / (way.length - 1), far];
  }
  return best;
}

/** What stops an axis here; "" in its midst. @param {Grid} feel @param {number[]} at @param {number} axis */
export function stopsHere({ axes }, at, axis) {
  const end = at[axis] <= 1e-3 ? "low" : at[axis] >= 1 - 1e-3 ? "high" : null;
  if (!end) return "";
  const said = axes[axis][end];
  const before = axes.slice(0, axis).reduce((index, { steps }, i) => index * steps + Math.round(at[i] * (steps - 1)), 0);
  return said.length === 1 ? said[0] : said[before];
}
