// What a plate looks like, to tell it from what stands in front of it and to find it again.

/** @typedef {import("./outline.mjs").Patch} Patch */

const RINGS = [0.3, 0.45, 0.6, 0.72, 0.82, 0.91]; // in radii
const SPOKES = 24;
const FACE = 21; // points across the face

/** What the plate looks like: the colours of rings round its middle, which stay when it turns, and its face. */
export class Looks {
  /** @param {Patch} patch @param {Film.Outline} outline */
  constructor(patch, outline) {
    this.rings = RINGS.map((radius) => {
      const samples = Array.from({ length: SPOKES }, (_, spoke) => sample(patch, outline, radius, (2 * Math.PI * spoke) / SPOKES)).filter((one) => one !== null);
      const colour = [0, 1, 2].map((c) => median(samples.map((one) => one[c])));
      const width = Math.min(45, Math.max(22, 2.5 * median(samples.map((one) => Math.hypot(...one.map((v, c) => v - colour[c]))))));
      return { radius, colour, width };
    });
    this.face = faceOf(patch, outline);
  }

  /** Share of the face that looks as it did, 0 to 1. @param {Patch} patch @param {Film.Outline} outline */
  alike(patch, outline, spokes = SPOKES) {
    let [same, all] = [0, 0];
    for (const { radius, colour, width } of this.rings) {
      for (let spoke = 0; spoke < spokes; spoke++) {
        const seen = sample(patch, outline, radius, (2 * Math.PI * spoke) / spokes);
        if (!seen) continue;
        all++;
        if (Math.hypot(seen[0] - colour[0], seen[1] - colour[1], seen[2] - colour[2]) < width) same++;
      }
    }
    return all > (this.rings.length * spokes) / 4 ? same / all : 0;
  }

  /** @param {Patch} patch @param {Film.Outline} outline */
  takeFace(patch, outline) {
    this.face = faceOf(patch, outline);
  }

  /** Where the face as last seen is found near an outline: {x, y, alike} of the move. @param {Patch} patch @param {Film.Outline} outline @param {number} reach */
  findFace(patch, outline, reach) {
    const score = (/** @type {number} */ x, /** @type {number} */ y) => correlation(this.face, faceOf(patch, { ...outline, x: outline.x + x, y: outline.y + y }));
    let best = { x: 0, y: 0, alike: -1 };
    for (const [step, span] of [[4, reach], [2, 4], [1, 2], [0.5, 1]]) {
      const { x: cx, y: cy } = best;
      for (let y = cy - span; y <= cy + span; y += step) {
        for (let x = cx - span; x <= cx + span; x += step) {
          const alike = score(x, y);
          if (alike > best.alike) best = { x, y, alike };
        }
      }
    }
    return best;
  }
}

const FACE_POINTS = Array.from({ length: FACE * FACE }, (_, i) => [(i % FACE) / (FACE - 1), Math.floor(i / FACE) / (FACE - 1)])
  .map(([u, v]) => [1.7 * u - 0.85, 1.7 * v - 0.85])
  .filter(([u, v]) => Math.hypot(u, v) < 0.86);

/** @param {Patch} patch @param {Film.Outline} outline */
function faceOf(patch, outline) {
  const face = new Float32Array(FACE_POINTS.length);
  for (let i = 0; i < face.length; i++) face[i] = grey(patch, outline, FACE_POINTS[i][0], FACE_POINTS[i][1]);
  return face;
}

/** @param {Film.Size} patch @param {number} x @param {number} y */
function pixel({ width, height }, x, y) {
  const [ix, iy] = [Math.floor(x), Math.floor(y)];
  return ix < 0 || iy < 0 || ix >= width || iy >= height ? -1 : (iy * width + ix) * 4;
}

/** @param {Patch} patch @param {Film.Outline} outline @param {number} radius @param {number} angle */
function sample(patch, { x, y, xx, xy, yy }, radius, angle) {
  const [u, v] = [radius * Math.cos(angle), radius * Math.sin(angle)];
  const at = pixel(patch, x + xx * u + xy * v, y + xy * u + yy * v);
  return at < 0 ? null : [patch.data[at], patch.data[at + 1], patch.data[at + 2]];
}

/** @param {Patch} patch @param {Film.Outline} outline @param {number} u @param {number} v */
function grey(patch, { x, y, xx, xy, yy }, u, v) {
  const at = pixel(patch, x + xx * u + xy * v, y + xy * u + yy * v);
  return at < 0 ? 0 : patch.data[at] + patch.data[at + 1] + patch.data[at + 2];
}

/** @param {Float32Array} one @param {Float32Array} other */
function correlation(one, other) {
  const n = one.length;
  let [a, b, aa, bb, ab] = [0, 0, 0, 0, 0];
  for (let i = 0; i < n; i++) {
    a += one[i]; b += other[i];
    aa += one[i] * one[i]; bb += other[i] * other[i]; ab += one[i] * other[i];
  }
  const [va, vb] = [aa - (a * a) / n, bb - (b * b) / n];
  return va > 200 * n && vb > 200 * n ? (ab - (a * b) / n) / Math.sqrt(va * vb) : 0; // a plain face tells nothing
}

const median = (/** @type {number[]} */ values) => values.sort((one, other) => one - other)[values.length >> 1];

/** The places in a small picture where something looks most like the plate: outlines, the best first. @param {Patch} patch @param {Film.Outline} shape @param {Looks} looks */
export function findAgain(patch, shape, looks, most = 3) {
  const { data, width, height } = patch;
  const points = [];
  for (const { radius, colour, width: tolerance } of looks.rings) {
    for (let spoke = 0; spoke < 10; spoke++) points.push({ ...offset(shape, radius, (2 * Math.PI * (spoke + radius)) / 10), colour, limit: tolerance * tolerance, outside: false });
  }
  const { colour, width: tolerance } = looks.rings[looks.rings.length - 1];
  for (let spoke = 0; spoke < 16; spoke++) points.push({ ...offset(shape, 1.2, (2 * Math.PI * spoke) / 16), colour, limit: tolerance * tolerance, outside: true });
  const found = [];
  for (let y = 1; y < height; y += 2) {
    for (let x = 1; x < width; x += 2) {
      let [merit, all] = [0, 0];
      for (const point of points) {
        const [px, py] = [x + point.x, y + point.y];
        if (px < 0 || py < 0 || px >= width || py >= height) continue;
        const at = (py * width + px) * 4;
        const far = (data[at] - point.colour[0]) ** 2 + (data[at + 1] - point.colour[1]) ** 2 + (data[at + 2] - point.colour[2]) ** 2;
        all++;
        if (far < point.limit !== point.outside) merit++;
      }
      if (all > points.length / 2 && merit > 0.5 * all) found.push({ x: x + 0.5, y: y + 0.5, merit: merit / all });
    }
  }
  found.sort((one, other) => other.merit - one.merit);
  /** @type {typeof found} */
  const apart = [];
  for (const one of found) {
    if (apart.length === most) break;
    if (apart.every((other) => Math.hypot(one.x - other.x, one.y - other.y) > 0.5 * shape.xx)) apart.push(one);
  }
  return apart.map(({ x, y }) => ({ ...shape, x, y }));
}

/** @param {Film.Outline} outline @param {number} radius @param {number} angle */
function offset({ xx, xy, yy }, radius, angle) {
  const [u, v] = [radius * Math.cos(angle), radius * Math.sin(angle)];
  return { x: Math.round(xx * u + xy * v), y: Math.round(xy * u + yy * v) };
}
