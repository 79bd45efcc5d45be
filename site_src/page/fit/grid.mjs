// Setups on a grid, as Python worked them out, and what lies between them: multilinear in the places of the axes.

/** @typedef {{ numbers: Record<string, number>, parts: Kept.Choice, places: Record<string, number[]> }} Point `places`: of all parts of a drawing, one after another */

/** @typedef {Omit<Core.Feel, "points"> & { points: Point[], spans: Record<string, Record<string, [number, number]>> }} Grid `spans`: where in the places of a drawing each part begins and ends */

/** @param {Core.Place} where */
const flat = (where) => (typeof where === "string" ? where.split(/[ ,]/).map(Number) : where);

/** @template V, W @param {Record<string, V>} of @param {(value: V, key: string) => W} made @returns {Record<string, W>} */
const each = (of, made) => Object.fromEntries(Object.entries(of).map(([key, value]) => [key, made(value, key)]));

/** The grid with its places as numbers. @param {Core.Feel} feel @returns {Grid} */
export function gridOf(feel) {
  const spans = each(feel.points[0].places, (parts) => {
    let end = 0;
    return each(parts, (where) => /** @type {[number, number]} */ ([end, end += flat(where).length]));
  });
  const points = feel.points.map((point) => ({ ...point, places: each(spans, (parts, view) => Object.keys(parts).flatMap((part) => flat(point.places[view][part]))) }));
  return { ...feel, points, spans };
}

// A frame of a drag goes through all of this on a phone: plain loops, which are quick before they are compiled, too.

/** The weights of the grid's points at places of the axes, each 0 to 1 or a little beyond; none of nothing. @param {Grid} feel @param {number[]} at */
function weights({ axes }, at) {
  /** @type {[number, number][]} */
  let found = [[0, 1]];
  for (let i = 0; i < axes.length; i += 1) {
    const { steps } = axes[i];
    const along = at[i] * (steps - 1);
    const low = Math.min(Math.max(Math.floor(along), 0), steps - 2);
    const share = along - low;
    /** @type {[number, number][]} */
    const next = [];
    for (let j = 0; j < found.length; j += 1) {
      const point = found[j][0] * steps + low;
      if (share !== 1) next.push([point, found[j][1] * (1 - share)]);
      if (share) next.push([point + 1, found[j][1] * share]);
    }
    found = next;
  }
  return found;
}

/** @param {[number, number][]} weighed @param {(point: number) => number} value */
function mean(weighed, value) {
  let sum = 0;
  for (let i = 0; i < weighed.length; i += 1) sum += weighed[i][1] * value(weighed[i][0]);
  return sum;
}

/** Places of one drawing from one of them to another. @param {Grid} feel @param {[number, number][]} weighed @param {string} view @param {number} from @param {number} to */
function between({ points }, weighed, view, from, to) {
  /** @type {number[]} */
  const sums = [];
  for (let i = from; i < to; i += 1) sums.push(0);
  for (let j = 0; j < weighed.length; j += 1) {
    const places = points[weighed[j][0]].places[view];
    const weight = weighed[j][1];
    for (let i = from; i < to; i += 1) sums[i - from] += weight * places[i];
  }
  return sums;
}

/** The numbers of a setup between the points. @param {Grid} feel @param {number[]} at */
export function numbersAt(feel, at) {
  const weighed = weights(feel, at);
  return each(feel.points[0].numbers, (_, key) => mean(weighed, (point) => feel.points[point].numbers[key]));
}

/** Its parts. @param {Grid} feel @param {number[]} at */
export function partsAt(feel, at) {
  const weighed = weights(feel, at);
  return /** @type {Kept.Choice} */ (each(feel.points[0].parts, (_, key) => mean(weighed, (point) => feel.points[point].parts[key])));
}

/** Where the moving parts of one drawing are, to the tenth that a drawing is written in. @param {Grid} feel @param {number[]} at @param {string} view */
export function placesOf(feel, at, view) {
  const places = between(feel, weights(feel, at), view, 0, feel.points[0].places[view].length);
  for (let i = 0; i < places.length; i += 1) places[i] = Math.round(10 * places[i]) / 10;
  return each(feel.spans[view], ([from, to]) => places.slice(from, to));
}

/** Where a handle is on its part. @param {number[]} where @param {Core.Handle} handle */
export function handleOn(where, { point }) {
  const i = point < 0 ? 0 : 2 * point;
  return [where[i], where[i + 1]];
}

/** Where a handle is, in units of its drawing. @param {Grid} feel @param {number[]} at @param {Core.Handle} handle */
export const handlePlace = (feel, at, handle) => handleOn(between(feel, weights(feel, at), handle.view, ...feel.spans[handle.view][handle.part]), handle);

/** What a part of the setup is at places of the axes. @param {Grid} feel @param {number[]} at @param {keyof Kept.Choice} part */
const partAt = (feel, at, part) => mean(weights(feel, at), (point) => feel.points[point].parts[part]);

const BESIDE = 0.06; // of an axis: as far as its ends may be off between the points, so that what stands there does not jump

/** The places of the axes whose setup is nearest to given parts, axis for axis; that of number `kept` stays as in `at`. @param {Grid} feel @param {Kept.Choice} parts @param {number[]} at @param {number} kept */
export function placeOf(feel, parts, at = [], kept = -1) {
  /** @type {number[]} no part depends on the axes after its own */
  const found = feel.axes.map(() => 0);
  for (const [i, { part }] of feel.axes.entries()) {
    if (i === kept) {
      found[i] = at[i];
      continue;
    }
    const [low, high] = [partAt(feel, found.with(i, 0), part), partAt(feel, found.with(i, 1), part)];
    const there = high > low ? (parts[part] - low) / (high - low) : 0;
    found[i] = Math.min(Math.max(there, -BESIDE), 1 + BESIDE);
  }
  return found;
}

/** One axis moved; the other parts of the setup stay as they were, or go as far as the limits push them. @param {Grid} feel @param {number[]} at @param {number} axis @param {number} to @param {Kept.Choice} parts as they were */
export const moved = (feel, at, axis, to, parts) => placeOf(feel, parts, at.with(axis, to), axis);

const STRETCHES = 24;

/** The way of a handle in its drawing while its axis goes from end to end. @param {Grid} feel @param {number[]} at @param {Core.Handle} handle @param {Kept.Choice} parts as they were when the finger came down */
export const wayOf = (feel, at, handle, parts) => Array.from({ length: STRETCHES + 1 }, (_, i) => handlePlace(feel, moved(feel, at, handle.axis, i / STRETCHES, parts), handle));

/** How far along a way (0 to 1) it is nearest to a point. @param {number[][]} way @param {number[]} to */
export function nearestOf(way, [toX, toY]) {
  let [best, least] = [0, Infinity];
  for (let i = 1; i < way.length; i += 1) {
    const from = way[i - 1];
    const next = way[i];
    const dx = next[0] - from[0];
    const dy = next[1] - from[1];
    const share = Math.min(Math.max(((toX - from[0]) * dx + (toY - from[1]) * dy) / (dx * dx + dy * dy || 1), 0), 1);
    const far = (from[0] + share * dx - toX) ** 2 + (from[1] + share * dy - toY) ** 2;
    if (far < least) {
      best = (i - 1 + share) / (way.length - 1);
      least = far;
    }
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
