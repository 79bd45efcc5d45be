// Setups on a grid, as Python worked them out, and what lies between them: multilinear in the places of the axes.

/** @typedef {{ numbers: Record<string, number>, parts: Kept.Choice, places: Record<string, Record<string, number[]>> }} Between */

/** @typedef {Omit<Core.Feel, "points"> & { points: Between[] }} Grid */

/** @param {Core.Place} where */
const flat = (where) => (typeof where === "string" ? where.split(/[ ,]/).map(Number) : where);

/** @template V, W @param {Record<string, V>} of @param {(value: V, key: string) => W} made @returns {Record<string, W>} */
const each = (of, made) => Object.fromEntries(Object.entries(of).map(([key, value]) => [key, made(value, key)]));

/** The grid with its places as numbers. @param {Core.Feel} feel @returns {Grid} */
export function gridOf(feel) {
  return { ...feel, points: feel.points.map((point) => ({ ...point, places: each(point.places, (parts) => each(parts, flat)) })) };
}

/** The weights of the grid's points at places of the axes, each 0 to 1. @param {Grid} feel @param {number[]} at @returns {[number, number][]} */
function weights({ axes }, at) {
  /** @type {[number, number][]} */
  let found = [[0, 1]];
  axes.forEach(({ steps }, i) => {
    const along = Math.min(Math.max(at[i], 0), 1) * (steps - 1);
    const low = Math.min(Math.floor(along), steps - 2);
    const share = along - low;
    found = found.flatMap(([index, weight]) => [
      [index * steps + low, weight * (1 - share)],
      [index * steps + low + 1, weight * share],
    ]);
  });
  return found.filter(([, weight]) => weight > 0);
}

/** @param {[number, number][]} weighed @param {(point: number) => number} value */
const mean = (weighed, value) => weighed.reduce((sum, [point, weight]) => sum + weight * value(point), 0);

/** @param {Grid} feel @param {[number, number][]} weighed @param {string} view @param {string} part */
function place(feel, weighed, view, part) {
  const places = weighed.map(([point]) => feel.points[point].places[view][part]);
  return places[0].map((_, i) => weighed.reduce((sum, [, weight], k) => sum + weight * places[k][i], 0));
}

/** What a setup between the points is like. @param {Grid} feel @param {number[]} at @returns {Between} */
export function between(feel, at) {
  const weighed = weights(feel, at);
  const [{ numbers, parts, places }] = feel.points;
  return {
    numbers: each(numbers, (_, key) => mean(weighed, (point) => feel.points[point].numbers[key])),
    parts: /** @type {Kept.Choice} */ (each(parts, (_, key) => mean(weighed, (point) => feel.points[point].parts[key]))),
    places: each(places, (of, view) => each(of, (_, part) => place(feel, weighed, view, part))),
  };
}

/** Where a handle is, in units of its drawing. @param {Grid} feel @param {number[]} at @param {Core.Handle} handle */
export function handlePlace(feel, at, { view, part, point }) {
  const where = place(feel, weights(feel, at), view, part);
  const i = point < 0 ? 0 : 2 * point;
  return [where[i], where[i + 1]];
}

const LOOKS = 24;

/** The place of the handle's axis that brings the handle nearest to a point of its drawing. @param {Grid} feel @param {number[]} at @param {Core.Handle} handle @param {number[]} to */
export function follow(feel, at, handle, to) {
  const far = (/** @type {number} */ u) => {
    const [x, y] = handlePlace(feel, at.with(handle.axis, u), handle);
    return Math.hypot(x - to[0], y - to[1]);
  };
  let [best, step] = [0, 1 / LOOKS];
  for (let i = 1; i <= LOOKS; i += 1) if (far(i / LOOKS) < far(best)) best = i / LOOKS;
  for (; step > 1e-4; step /= 2) {
    for (const u of [best - step, best + step]) if (u >= 0 && u <= 1 && far(u) < far(best)) best = u;
  }
  return at.with(handle.axis, best);
}

/** The places of the axes whose setup is nearest to given parts (m). @param {Grid} feel @param {Kept.Choice} parts */
export function placeOf(feel, parts) {
  const keys = Object.keys(feel.points[0].parts);
  const far = (/** @type {number[]} */ at) => {
    const weighed = weights(feel, at);
    return Math.hypot(...keys.map((key) => mean(weighed, (point) => feel.points[point].parts[key]) - parts[key]));
  };
  let at = feel.axes.map(() => 0.5);
  for (let step = 0.5; step > 1e-4; step *= 0.7) {
    for (const i of feel.axes.keys()) {
      for (const u of [at[i] - step, at[i] + step]) {
        const tried = at.with(i, Math.min(Math.max(u, 0), 1));
        if (far(tried) < far(at)) at = tried;
      }
    }
  }
  return at;
}

/** What stops an axis here; "" in its midst. @param {Grid} feel @param {number[]} at @param {number} axis */
export function stopsHere(feel, at, axis) {
  const end = at[axis] <= 1e-3 ? "low" : at[axis] >= 1 - 1e-3 ? "high" : null;
  if (!end) return "";
  const said = feel.axes[axis][end];
  if (said.length === 1) return said[0];
  const before = axis - 1; // one sentence for each step of the axis before it
  return said[Math.round(at[before] * (feel.axes[before].steps - 1))];
}
