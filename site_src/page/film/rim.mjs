// Finds the rim of the plate that was tapped: anywhere on it will do. No DOM here; it also runs in Node.
//
// The picture is made smaller step by step, so that at each step plates of one size are some 16 px in radius. There every circle
// round the tap is weighed by how many of its rays cross an edge. The best of all steps are brought onto the edges by the tracker
// (follow.mjs), and the largest clear one counts: rings on the face are rings too. Where none is clear, or one that is clear does
// not belong to the others, it says so and guesses nothing.

import { Follower } from "./follow.mjs";
import { fromAxes, sizeOf } from "./outline.mjs";

const SHORT = 480; // px of the picture's shorter side as it is read
const RADII = [13, 14, 15, 16, 17, 18]; // px, at each step
const STEP = 18.5 / 13; // from one step to the next
const SMALLEST = 9; // px of the picture as it is read
const LARGEST = 0.42; // of the shorter side
const OFF = 0.85; // radii from the middle that a tap may be
const SPOKES = 48;
const KEPT = 3; // circles of a step
const TRIED = 6; // of all
const CLEAR = 0.7; // share of the rim that must be seen
const SURE = 0.8; // share of a larger ring that counts beside any other,
const LESS = 0.1; // or by how much less clear it may be
const APART = 0.07; // radii by which middles differ of rings that do not go together
const LIKE = 0.04; // share of the rim by which a ring may be less clear than another and still speak against it
const SAME = 0.045; // radii within which they are rings of one plate
const ROUND = 0.97; // ratio of axes under which it may be two plates
const OUTWARD = [1.16, 1.26]; // where a larger ring is looked for
const LEAST = 0.25; // of the rim's radius: smaller rings say nothing

/** @typedef {{ x: number, y: number, r: number, votes: number }} Circle in px of the picture */
/** @typedef {Film.Held & Film.Axes} Ring */

/** The rim round a tap: {ring}, or {why}: "none", or "several" where two that are clear do not go together. @param {Film.Read} read @param {Film.Size} picture @param {Film.Point} tap @returns {Promise<{ ring: Ring, why?: undefined } | { ring?: undefined, why: "none" | "several" }>} */
export async function findRim(read, picture, tap) {
  const circles = await circlesRound(read, picture, tap);
  /** @type {Found[]} */
  const found = [];
  for (const { x, y, r } of circles.slice(0, TRIED)) {
    if (found.some(({ ring, size }) => Math.hypot(ring.x - x, ring.y - y) < APART * size && Math.abs(r / size - 1) < APART)) continue;
    const one = await settled(read, picture, { x, y, a: r, b: r, tilt: 0 }, tap);
    if (one) found.push(one);
  }
  const clear = found.filter(({ share }) => share >= CLEAR).sort((one, other) => other.share - one.share);
  if (!clear.length) return { why: "none" };
  let best = clear[0];
  const { x, y, a, b, tilt } = best.ring;
  for (const off of b < ROUND * a ? [a - b, b - a] : []) { // it may join the rim to the plate at the bar's other end: the rim is the rounder one in it
    const turn = (tilt * Math.PI) / 180;
    const one = await settled(read, picture, { x: x + off * Math.cos(turn), y: y + off * Math.sin(turn), a: b, b, tilt: 0 }, tap);
    if (one && one.share > best.share) best = one;
  }
  for (const by of OUTWARD) { // it may be a ring on the face
    const one = await settled(read, picture, { ...best.ring, a: by * best.ring.a, b: by * best.ring.b }, tap);
    if (one) clear.push(one);
  }
  for (const one of clear) if (one.share > Math.min(SURE, best.share - LESS) && one.size > best.size && apart(one, best) < SAME) best = one;
  const odd = clear.some((one) => one.size > LEAST * best.size && one.share > best.share - LIKE && apart(one, best) > APART && (one.size < (1 - APART) * best.size || reaches(one, best)));
  return odd ? { why: "several" } : { ring: best.ring };
}

/** A ring brought onto the edges; null where there is none round the tap. @param {Film.Read} read @param {Film.Size} picture @param {Film.Ring} ring @param {Film.Point} tap @returns {Promise<Found | null>} */
async function settled(read, picture, ring, tap) {
  const follower = new Follower(picture, fromAxes(ring));
  const seen = await follower.start(read, 0, [1], []);
  if (seen.lost || !isRing(seen)) return null;
  const size = sizeOf(fromAxes(seen));
  return Math.hypot(seen.x - tap.x, seen.y - tap.y) < size ? { ring: seen, share: follower.shareAtStart, size } : null;
}

/** @typedef {{ ring: Ring, share: number, size: number }} Found */

/** How far apart the middles of two rings are, in radii of the larger. @param {Found} one @param {Found} other */
const apart = (one, other) => Math.hypot(one.ring.x - other.ring.x, one.ring.y - other.ring.y) / Math.max(one.size, other.size);

/** Whether a ring reaches out of another. @param {Found} one @param {Found} other */
const reaches = (one, other) => apart(one, other) * other.size + one.size > 1.06 * other.size;

/** @param {Film.Held} seen @returns {seen is Ring} */
const isRing = (seen) => seen.a !== undefined && seen.b !== undefined && seen.tilt !== undefined;

/** Circles round a tap by how many rays of each cross an edge, the best first. @param {Film.Read} read @param {Film.Size} picture @param {Film.Point} tap @returns {Promise<Circle[]>} */
async function circlesRound(read, picture, tap) {
  const every = Math.max(1, Math.round(Math.min(picture.width, picture.height) / SHORT));
  const whole = { left: 0, top: 0, width: picture.width - (picture.width % every), height: picture.height - (picture.height % every), every };
  const base = await read(whole);
  /** @type {Circle[]} */
  const found = [];
  const most = LARGEST * Math.min(base.width, base.height);
  for (let shrink = SMALLEST / RADII[0]; RADII[0] * shrink < most; shrink *= STEP) {
    found.push(...circlesAt(base, { x: tap.x / every, y: tap.y / every }, shrink).map(({ x, y, r, votes }) => ({ x: x * every, y: y * every, r: r * every, votes })));
  }
  return found.sort((one, other) => other.votes - one.votes);
}

/** The best circles of one step, in px of `base`. @param {Film.Pixels} base @param {Film.Point} tap @param {number} shrink px of `base` that make one */
function circlesAt(base, tap, shrink) {
  const reach = Math.ceil((1 + OFF) * RADII[RADII.length - 1]) + 3;
  const slopes = slopesOf(base, tap, shrink, reach);
  const usual = slopes.usual;
  const off = Math.floor(OFF * RADII[RADII.length - 1]);
  /** @type {Circle[]} */
  const found = [];
  for (let y = -off; y <= off; y++) {
    for (let x = -off; x <= off; x++) {
      for (const r of RADII) {
        const far = Math.hypot(x, y) / r;
        if (far > OFF) continue;
        let votes = 0;
        let rays = 0;
        for (let i = 0; i < SPOKES; i++) {
          const [c, s] = [COS[i], SIN[i]];
          const steep = slopes.along(x + r * c, y + r * s, c, s);
          if (steep < 0) continue;
          rays++;
          votes += steep / (steep + usual);
        }
        if (rays < 0.7 * SPOKES) continue;
        found.push({ x: tap.x + x * shrink, y: tap.y + y * shrink, r: r * shrink, votes: votes / rays - 0.06 * far * far });
      }
    }
  }
  found.sort((one, other) => other.votes - one.votes);
  /** @type {Circle[]} */
  const kept = [];
  for (const one of found) {
    if (kept.length === KEPT) break;
    if (kept.every((other) => Math.hypot(one.x - other.x, one.y - other.y) > 0.2 * one.r || Math.abs(one.r / other.r - 1) > 0.15)) kept.push(one);
  }
  return kept;
}

const COS = Float32Array.from({ length: SPOKES }, (_, i) => Math.cos((2 * Math.PI * i) / SPOKES));
const SIN = Float32Array.from({ length: SPOKES }, (_, i) => Math.sin((2 * Math.PI * i) / SPOKES));

/** The slopes of the colours in a picture made smaller, `reach` px round a place. @param {Film.Pixels} base @param {Film.Point} at @param {number} shrink @param {number} reach */
function slopesOf({ data, width, height }, at, shrink, reach) {
  const side = 2 * reach + 1;
  const colour = new Float32Array(side * side * 3).fill(NaN);
  for (let j = 0; j < side; j++) {
    const [y0, y1] = [Math.round(at.y + (j - reach - 0.5) * shrink), Math.max(1, Math.round(shrink))];
    for (let i = 0; i < side; i++) {
      const x0 = Math.round(at.x + (i - reach - 0.5) * shrink);
      if (x0 < 0 || y0 < 0 || x0 + y1 > width || y0 + y1 > height) continue;
      const sums = [0, 0, 0];
      for (let y = y0; y < y0 + y1; y++) for (let x = x0; x < x0 + y1; x++) for (let c = 0; c < 3; c++) sums[c] += data[4 * (y * width + x) + c];
      for (let c = 0; c < 3; c++) colour[3 * (j * side + i) + c] = sums[c] / (y1 * y1);
    }
  }
  /** How steep the colours are along a direction at a place, -1 outside the picture. @param {number} x @param {number} y @param {number} c @param {number} s */
  const along = (x, y, c, s) => {
    const place = (Math.round(y) + reach) * side + Math.round(x) + reach;
    let sum = 0;
    for (let k = 0; k < 3; k++) {
      const gx = colour[3 * (place + 1) + k] - colour[3 * (place - 1) + k];
      const gy = colour[3 * (place + side) + k] - colour[3 * (place - side) + k];
      sum += (gx * c + gy * s) ** 2;
    }
    return sum >= 0 ? Math.sqrt(sum / 3) : -1;
  };
  const some = [];
  for (let j = 2; j < side - 2; j += 2) for (let i = 2; i < side - 2; i += 2) some.push(along(i - reach, j - reach, 0.7, 0.7));
  const steep = some.filter((one) => one >= 0).sort((one, other) => one - other);
  return { along, usual: Math.max(6, 1.5 * (steep[Math.floor(0.6 * steep.length)] ?? 0)) };
}
