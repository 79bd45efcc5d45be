// Follows the round rim of a plate from picture to picture, to a fraction of a pixel, and says when it cannot.
//
// Each picture: guess where the plate has gone, unroll the picture round that outline (outline.mjs), let the edges vote
// for a move and a size, then fit the ellipse to the edges that agree, outliers left out (edges.mjs). Where too little of
// the rim is seen, the plate's face is looked for by correlation (looks.mjs), for a short time only; after that, and where
// nothing agrees, the picture counts as lost, and the plate is searched around until its rim and its colours are back.

import { Edges, fit, flankOf, moved, supportOf } from "./edges.mjs";
import { Looks, findAgain } from "./looks.mjs";
import { Patch, RAYS, Strip, axesOf, fromAxes, sizeOf } from "./outline.mjs";

const WORK_RADIUS = 75; // px: larger plates are read in smaller pictures
const FAR_RADIUS = 20; // px: the plate's size in the small picture in which it is searched for
const SMALLEST_RADIUS = 10; // px
const REACH = 0.3; // how far from the guess the rim is looked for, in radii
const HELD = { share: 0.3, alike: 0.35 }; // shares of the rim that must be seen, and of the face that must look as it did
const FOUND_AGAIN = { share: 0.45, alike: 0.55 }; // the same where the plate was not followed to
const AT_FIRST = 0.55; // share of the rim that must be seen where it was marked
const WHOLE_RIM = 0.6; // share of the rays in the picture that is as good as all
const FACE_ALIKE = 0.85; // correlation of the face that counts
const FACE_STEPS = 8; // how many pictures in a row the face alone may carry
const FLOOR_SD = 0.2; // px: what no fit can promise
const CLEAR = 0.75; // share of a ring that is certainly there
const BLURRED = 1.15; // times the spread of the outline with the flank that the face's may have
const ASIDE = 0.06; // radii by which the middle of a ring on the face may seem to be off the rim's
const ASTRAY = 0.35; // of how much smaller it is, by which it may be off if it was fitted to two rings
const SHAPE_LEARNS = 0.4; // of a picture's shape: near an ultra-wide lens a plate grows by 2 % from one to the next
const SIZES = [1, 0.8, 1.22]; // at which a rim is looked for, times the mark's
const MORE_SIZES = [0.9, 1.1]; // only for a rim further out
const ASPECTS = [1, 0.93, 0.86, 0.79, 0.72];

/** @param {Film.Outline} outline @param {number} by @returns {Film.Outline} */
const scaled = ({ x, y, xx, xy, yy }, by) => ({ x, y, xx: by * xx, xy: by * xy, yy: by * yy });
/** @param {Film.Outline} outline @param {number} by px */
const grown = (outline, by) => {
  const k = 1 + by / sizeOf(outline);
  return [(k - 1) * outline.xx, (k - 1) * outline.xy, (k - 1) * outline.yy];
};

/** Whether an outline is a larger one round the same middle: one that joins the rim to the plate at the bar's other end is not. @param {Film.Outline} outline @param {Film.Outline} inner */
const isRound = (outline, inner) => {
  const [size, more] = [sizeOf(outline), sizeOf(outline) - sizeOf(inner)];
  return more > 0.05 * sizeOf(inner) && Math.hypot(outline.x - inner.x, outline.y - inner.y) < Math.max(ASIDE * size, ASTRAY * more);
};

/** A picture without the plate. `why`: "none" or "small" at the start; then "left" (the picture's edge is near) or "covered". @param {Film.Lost["why"]} why @returns {Film.Lost} */
const lost = (why) => ({ lost: true, how: "lost", why, quality: 0 });

/**
 * @typedef {object} Rim a rim that was found, in the pixels of a patch
 * @property {Film.Outline} outline
 * @property {Edges} edges
 * @property {Int16Array} agree
 * @property {number} share
 * @property {number} rays
 * @property {number} contrast
 * @property {number} sd
 * @property {number} axesSd
 * @property {number} spread of the edges about the outline
 * @typedef {Rim & { face?: undefined, patch: Patch, alike: number }} Found
 * @typedef {{ face: true, outline: Film.Outline, alike: number, sd: number }} Face the face alone, in the pixels of the picture
 * @typedef {(nx: number, ny: number) => number} Blur
 */

export class Follower {
  /** `picture`: {width, height}; `mark`: the outline as marked by hand. @param {Film.Size} picture @param {Film.Outline} mark */
  constructor(picture, mark) {
    this.picture = picture;
    this.outline = mark;
    this.shape = mark;
    this.speed = [0, 0]; // px per s
    this.time = 0;
    this.contrast = 0;
    this.shareAtStart = 0; // of the rim that was seen where it was marked
    /** @type {Float32Array | null} */
    this.rim = null;
    /** @type {Float32Array | null} */
    this.heights = null;
    /** @type {Looks | null} */
    this.looks = null;
    this.lostFor = 0; // pictures in a row
    this.faceFor = 0;
    this.sinceFound = 0;
  }

  /** The part of the picture round an outline, `far` radii around it, read so that the plate has about `radius` px. @param {Film.Read} read @param {Film.Outline} outline @param {number} far @param {number} radius */
  async #read(read, outline, far, radius) {
    const every = Math.max(1, Math.ceil(sizeOf(outline) / radius));
    const extent = (far + 1) * Math.max(outline.xx, outline.yy) + 6 * every;
    const cut = (/** @type {number} */ from, /** @type {number} */ to, /** @type {number} */ limit) => {
      const first = Math.max(0, Math.floor(from / every));
      const last = Math.min(Math.floor(limit / every), Math.ceil(to / every));
      return [first * every, Math.max(0, last - first) * every];
    };
    const [left, width] = cut(outline.x - extent, outline.x + extent, this.picture.width);
    const [top, height] = cut(outline.y - extent, outline.y + extent, this.picture.height);
    if (width < 8 * every || height < 8 * every) return null;
    return new Patch(await read({ left, top, width, height, every }), { left, top, scale: 1 / every });
  }

  /** The first picture: the outline that was marked, brought onto the rim; lost where there is none. `sizes`: at which it is looked for, times the mark's; `more`: for a rim further out. @param {Film.Read} read @param {number} time @returns {Promise<Film.Seen>} */
  async start(read, time, sizes = SIZES, more = MORE_SIZES) {
    this.time = time;
    if (sizeOf(this.outline) < SMALLEST_RADIUS) return lost("small");
    const patch = await this.#read(read, this.outline, 0.8, WORK_RADIUS);
    if (!patch) return lost("none");
    const ringsOf = (/** @type {number[]} */ some) => some.map((by) => this.#ring(patch, scaled(patch.into(this.outline), by))).filter((one) => one !== null);
    const rings = ringsOf(sizes).sort((one, other) => other.share - one.share);
    const best = rings[0];
    const outer = [...rings, ...ringsOf(more)].filter(({ share, outline }) => share > CLEAR && (!best || isRound(outline, best.outline)));
    /** @type {Rim | null} rings on the face are rings too: the outermost clear one round the same middle is the rim */
    let held = outer.sort((one, other) => sizeOf(other.outline) - sizeOf(one.outline))[0] ?? best ?? null;
    if (held) held = this.#settle(patch, held.outline, { shape: held.outline, stiff: 0.01 * sizeOf(held.outline), close: true });
    this.shareAtStart = held?.share ?? 0;
    if (!held || held.share < AT_FIRST) return lost("none");
    this.looks = new Looks(patch, held.outline);
    return this.#keep(patch, held, 1, 0);
  }

  /** The rim near a mark, of any shape that a round plate can have. @param {Patch} patch @param {Film.Outline} mark */
  #ring(patch, mark) {
    const size = sizeOf(mark);
    let best = { votes: -Infinity, guess: mark };
    for (const aspect of ASPECTS) {
      for (const tilt of aspect === 1 ? [0] : [0, 45, 90, 135]) {
        const guess = fromAxes({ ...mark, a: size / Math.sqrt(aspect), b: size * Math.sqrt(aspect), tilt });
        const edges = new Edges(new Strip(patch, guess, Math.round(Math.max(8, REACH * size))));
        const step = Math.max(1, size / 40);
        const { move: [x, y, g], votes: given } = edges.vote(2 * step, step, { move: 0.16 * size, grow: 0.12 * size, loose: { move: 0.12 * size, grow: 0.05 * size } });
        const votes = given - 0.08 * RAYS * ((1 - aspect) / 0.2) ** 2; // seen from the side it is nearly round
        if (votes > best.votes) best = { votes, guess: moved(guess, [x, y, ...grown(guess, g)]) };
      }
    }
    const held = this.#settle(patch, best.guess, { shape: best.guess, stiff: 0.06 * size });
    const face = held && this.#face(patch, held, size);
    return face && (face.share > held.share || face.spread < BLURRED * held.spread) ? face : held; // else the edges inside of it are others, as of the plate at the bar's other end
  }

  /** The outline of the plate's face, where the one that was found is its face on one side and its back on the other. @param {Patch} patch @param {Rim} rim @param {number} size */
  #face(patch, { outline }, size) {
    const shift = flankOf(new Edges(new Strip(patch, outline, Math.round(Math.max(8, 0.25 * size)))), size);
    if (!shift) return null;
    const thick = Math.hypot(...shift);
    const [x, y] = shift.map((value) => value / thick);
    const shape = [(-thick / 2) * x * x, (-thick / 2) * x * y, (-thick / 2) * y * y];
    const face = moved(outline, [-shift[0] / 2, -shift[1] / 2, ...shape]);
    return this.#settle(patch, face, { shape: face, stiff: 0.01 * size, close: true });
  }

  /** One more picture. @param {Film.Read} read @param {number} time @returns {Promise<Film.Seen>} */
  async step(read, time) {
    const passed = Math.max(1e-3, time - this.time);
    const held = this.lostFor ? await this.#again(read) : await this.#next(read, passed);
    if (held) this.time = time; // else the time of the last picture in which it was seen
    if (held?.face) return this.#carry(held, passed);
    if (held) return this.#keep(held.patch, held, held.alike, passed);
    this.lostFor++;
    return lost(this.#isOut() ? "left" : "covered");
  }

  /** @param {Film.Read} read @param {number} passed @returns {Promise<Found | Face | null>} */
  async #next(read, passed) {
    const guess = { ...this.shape, x: this.outline.x + this.speed[0] * passed, y: this.outline.y + this.speed[1] * passed };
    const patch = await this.#read(read, guess, REACH, WORK_RADIUS);
    if (!patch) return null;
    const held = this.#find(patch, guess, passed);
    if (held && this.#isSure(held, this.sinceFound < 3 ? FOUND_AGAIN : HELD)) return held;
    if (!this.looks || this.faceFor >= FACE_STEPS || this.sinceFound < 3 || this.#isOut()) return null;
    const here = patch.into(guess);
    const face = this.looks.findFace(patch, here, Math.max(6, 0.16 * sizeOf(here)));
    if (face.alike < FACE_ALIKE || this.looks.alike(patch, moved(here, [face.x, face.y, 0, 0, 0])) < FOUND_AGAIN.alike) return null;
    return { face: true, alike: face.alike, outline: moved(guess, [face.x / patch.scale, face.y / patch.scale, 0, 0, 0]), sd: 1.5 / patch.scale };
  }

  /** @param {Found} held @param {{ share: number, alike: number }} need */
  #isSure(held, need) {
    return held.share * Math.min(1, held.rays / (WHOLE_RIM * RAYS)) >= need.share && held.alike >= need.alike;
  }

  /** The rim near a guess, whatever it is worth. @param {Patch} patch @param {Film.Outline} guess @param {number} passed @returns {Found | null} */
  #find(patch, guess, passed) {
    const here = patch.into(guess);
    const size = sizeOf(here);
    const smear = [0.5 * this.speed[0] * passed * patch.scale, 0.5 * this.speed[1] * passed * patch.scale]; // a shutter open half of the time
    /** @type {Blur} */
    const blur = (nx, ny) => Math.abs(nx * smear[0] + ny * smear[1]);
    const reach = Math.round(Math.max(8, REACH * size));
    const edges = new Edges(new Strip(patch, here, reach, blur), this);
    const step = Math.max(1, size / 45);
    const far = this.sinceFound ? 0.16 : 0.3; // found again just now, it may go at any speed
    const { move: [x, y, g] } = edges.vote(2 * step, step, { move: Math.max(6, far * size), grow: 0.02 * size, loose: { move: 0.2 * size, grow: 0.03 * size } });
    const held = this.#settle(patch, moved(here, [x, y, ...grown(here, g)]), { shape: patch.into(this.shape), stiff: 0.006 * size, blur });
    return held && this.looks && { ...held, patch, alike: this.looks.alike(patch, held.outline) };
  }

  /**
   * Fit, look again from there, fit closer.
   * @param {Patch} patch @param {Film.Outline} guess @param {{ shape: Film.Outline, stiff: number, blur?: Blur, close?: boolean }} how @returns {Rim | null}
   */
  #settle(patch, guess, { shape, stiff, blur, close = false }) {
    const size = sizeOf(guess);
    let outline = guess;
    /** @type {Rim | null} */
    let held = null;
    const coarse = close ? 1.5 : Math.max(1.5, size / 40);
    for (const widths of [[2 * coarse, 1.5 * coarse, coarse, coarse], [coarse, 1.5, 1, 1]]) {
      const edges = new Edges(new Strip(patch, outline, Math.round(Math.max(7, 0.08 * size)), blur), this);
      const fitted = fit(edges, outline, [0, 0, 0, 0, 0], { shape, stiff, widths });
      if (!fitted) return null;
      const support = supportOf(edges, fitted.change, Math.max(1.5, 2 * fitted.spread));
      held = { ...fitted, ...support, edges, outline: moved(outline, fitted.change) };
      outline = held.outline;
    }
    const whole = held && held.rays > 0.3 * RAYS && held.sd < 1 && sizeOf(outline) > 0.6 * size && sizeOf(outline) < 1.6 * size;
    return whole ? held : null;
  }

  /** Lost before: search around, more and more widely. @param {Film.Read} read @returns {Promise<Found | null>} */
  async #again(read) {
    const far = Math.min(2 + 0.15 * this.lostFor, 12);
    const wide = await this.#read(read, this.outline, far, FAR_RADIUS);
    if (!wide || !this.looks) return null;
    for (const place of findAgain(wide, wide.into(this.shape), this.looks)) {
      const at = wide.back(place);
      const guess = { ...this.shape, x: at.x, y: at.y };
      const patch = await this.#read(read, guess, REACH, WORK_RADIUS);
      const held = patch && this.#find(patch, guess, 0);
      if (held && this.#isSure(held, FOUND_AGAIN)) return held;
    }
    return null;
  }

  /** Takes over what a good fit has shown. @param {Patch} patch @param {Rim} held @param {number} alike @param {number} passed @returns {Film.Held} */
  #keep(patch, held, alike, passed) {
    const outline = patch.back(held.outline);
    const fresh = this.lostFor > 2 || !passed;
    this.speed = fresh ? [0, 0] : [(outline.x - this.outline.x) / passed, (outline.y - this.outline.y) / passed];
    this.sinceFound = this.lostFor ? 0 : this.sinceFound + 1;
    this.lostFor = this.faceFor = 0;
    this.outline = outline;
    const share = Math.min(1, held.share);
    const learn = this.rim ? 0.1 * share : 1;
    const mix = (/** @type {number} */ old, /** @type {number} */ now, by = learn) => old + by * (now - old);
    const form = this.rim ? SHAPE_LEARNS * share : 1;
    this.shape = { ...outline, xx: mix(this.shape.xx, outline.xx, form), xy: mix(this.shape.xy, outline.xy, form), yy: mix(this.shape.yy, outline.yy, form) };
    this.contrast = this.contrast ? mix(this.contrast, held.contrast) : held.contrast;
    this.#learnRim(held);
    if (share > 0.5 && alike > 0.7) this.looks?.takeFace(patch, held.outline);
    const { a, b, tilt } = axesOf(outline);
    const wide = 1 / patch.scale;
    const floor = FLOOR_SD * (1 + 4 * (1 - share));
    return {
      x: outline.x, y: outline.y, a, b, tilt, how: "rim", lost: false,
      sd: Math.hypot(held.sd * wide, floor), axes_sd: Math.hypot(held.axesSd * wide, floor),
      quality: 0.3 + 0.7 * share * Math.sqrt(alike),
    };
  }

  /** The colour just inside the rim, ray by ray: light falls on each part of it in its own way. @param {Rim} held */
  #learnRim({ edges, agree }) {
    const { colour, long, reach } = edges.strip;
    const rim = this.rim ?? new Float32Array(RAYS * 3).fill(NaN);
    const heights = this.heights ?? new Float32Array(RAYS).fill(this.contrast);
    const sums = [0, 0, 0];
    let count = 0;
    for (let ray = 0; ray < RAYS; ray++) {
      if (agree[ray] < 0) continue;
      const first = ray * long + Math.max(0, Math.round(edges.at[agree[ray]]) + reach - 4);
      for (let c = 0; c < 3; c++) {
        const now = (colour[first * 3 + c] + colour[first * 3 + 3 + c] + colour[first * 3 + 6 + c]) / 3;
        const old = rim[ray * 3 + c];
        rim[ray * 3 + c] = Number.isNaN(old) ? now : old + 0.1 * (now - old);
        sums[c] += now;
      }
      heights[ray] += 0.1 * (edges.height[agree[ray]] - heights[ray]);
      count++;
    }
    for (let i = 0; i < rim.length; i++) if (Number.isNaN(rim[i])) rim[i] = sums[i % 3] / count;
    this.rim = rim;
    this.heights = heights;
  }

  /** @param {Face} held @param {number} passed @returns {Film.Held} */
  #carry({ outline, alike, sd }, passed) {
    this.speed = [(outline.x - this.outline.x) / passed, (outline.y - this.outline.y) / passed];
    this.outline = outline;
    this.faceFor++;
    return { x: outline.x, y: outline.y, how: "face", lost: false, sd: sd * Math.sqrt(this.faceFor), quality: 0.25 + 0.2 * alike };
  }

  #isOut() {
    const { x, y, xx, yy } = this.outline;
    const { width, height } = this.picture;
    return x - xx < 0.1 * xx || y - yy < 0.1 * yy || x + xx > width - 0.1 * xx || y + yy > height - 0.1 * yy;
  }
}
