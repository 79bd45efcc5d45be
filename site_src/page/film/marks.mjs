// The marks on a clip: by kind and picture, with what they mean to the core. No DOM here.

import { axesOf, fromAxes } from "./outline.mjs";

const EDGE = ["edge_a", "edge_b"]; // the two ends of a level edge
const BY_HAND_SD = 0.03; // of the radius: what a ring set by hand is worth

/** One kind may be marked in several pictures. */
export class Marks {
  /** @param {Film.KindOf[]} kinds @param {Partial<Film.AllMarks>} marks */
  constructor(kinds, marks = {}) {
    this.kinds = kinds;
    this.all = /** @type {Film.AllMarks} */ (Object.fromEntries(kinds.map(({ key }) => [key, { ...marks[key] }])));
  }

  /** The pictures in which a kind is marked. @param {string} kind */
  places(kind) {
    return Object.keys(this.all[kind]).map(Number).sort((one, other) => one - other);
  }

  /** The mark that counts at a picture: its own, else that of the nearest one; {index, own, mark}, or null. @param {string} kind @param {number} index */
  at(kind, index) {
    const places = this.places(kind);
    if (!places.length) return null;
    const near = places.reduce((best, place) => (Math.abs(place - index) < Math.abs(best - index) ? place : best));
    return { index: near, own: near === index, mark: this.all[kind][near] };
  }

  /** @param {string} kind @param {number} index @param {Film.Mark} mark */
  put(kind, index, mark) {
    this.all[kind][index] = mark;
  }

  /** Takes the mark off that counts at a picture. @param {string} kind @param {number} index */
  remove(kind, index) {
    const found = this.at(kind, index);
    if (found) delete this.all[kind][found.index];
    return found;
  }
}

/** A ring of that radius as a mark. @param {number} x @param {number} y @param {number} radius @returns {Film.Ring} */
export const ring = (x, y, radius) => ({ x, y, a: radius, b: radius, tilt: 0 });

/** The rim at a picture: as followed there, else as marked. @param {Film.Track} track @param {Marks} marks @param {number} index @returns {Film.Ring | null} */
export function outlineAt(track, marks, index) {
  const held = track.get(index);
  if (held && !held.lost) return isRing(held) ? held : { ...nearestRim(track, index), x: held.x, y: held.y };
  const marked = marks.all.rim[index];
  return marked && isRing(marked) ? marked : null;
}

/** @template {object} T @param {T} one @returns {one is T & Film.Axes} */
const isRing = (one) => "a" in one && Boolean(one.a);

/** @param {Film.Track} track @param {number} index @returns {Film.Axes} */
function nearestRim(track, index) {
  for (let step = 1; step < track.size + 1; step++) {
    for (const place of [index - step, index + step]) {
      const other = track.get(place);
      if (other && isRing(other)) return other;
    }
  }
  return { a: 0, b: 0, tilt: 0 };
}

/** An outline grown by a factor. @template {Film.Ring} T @param {T} mark @param {number} factor @returns {T} */
export function grownBy(mark, factor) {
  const outline = fromAxes(mark);
  return { ...mark, ...axesOf({ xx: outline.xx * factor, xy: outline.xy * factor, yy: outline.yy * factor }) };
}

/**
 * The request "film/measure" of what was marked and followed; null where something needed is missing.
 * @param {{ clip: Pick<Film.Opened, "kind" | "times" | "picture">, marks: Marks, track: Film.Track, unit: Kept.UnitSwitch, fields: Kept.Texts,
 *   choices: Core.FilmRequest["camera"], fit: Core.FitRequest | null }} known
 * @param {Core.FilmRequest["want"]} want for "film/moments" no joint is needed
 * @returns {Core.FilmRequest | null}
 */
export function requestOf({ clip, marks, track, unit, fields, choices, fit }, want = "film/measure") {
  const photo = clip.kind === "photo";
  if (want === "film/measure" && marks.kinds.some(({ key, needed }) => needed && key !== "rim" && !marks.places(key).length)) return null;
  const frames = inOrder(track).map(([index, seen]) => {
    const t = clip.times[index];
    const { moved } = seen;
    if (seen.lost) return /** @type {Core.FilmFrame} */ ({ t, lost: true, ...(moved ? { moved } : {}) });
    const { x, y, a, b, tilt, sd, axes_sd, quality } = seen;
    return { t, x, y, sd, quality, ...(a ? { a, b, tilt, axes_sd } : {}), ...(moved ? { moved } : {}) };
  });
  if (photo && !frames.length) {
    const rim = marks.at("rim", 0)?.mark;
    if (!rim || !isRing(rim)) return null;
    const sd = Math.max(1, BY_HAND_SD * rim.a);
    frames.push({ t: 0, ...rim, sd, axes_sd: sd });
  }
  if (!frames.some(({ lost }) => !lost)) return null;
  const points = (/** @type {string} */ kind) => marks.places(kind).map((index) => {
    const { x, y, sd, r } = marks.all[kind][index];
    return { ...(photo ? {} : { t: clip.times[index] }), x, y, sd, ...(r ? { r } : {}) };
  });
  /** @type {Core.FilmRequest["marks"]} */
  const said = {};
  for (const { key } of marks.kinds) if (key !== "rim" && !EDGE.includes(key) && marks.places(key).length) said[key] = points(key);
  const edge = EDGE.flatMap((kind) => points(kind).slice(0, 1)).map(({ x, y, sd }) => ({ x, y, sd }));
  if (edge.length === 2) said.edge = edge;
  const typed = Object.fromEntries(Object.entries(fields).filter(([, text]) => text.trim()));
  return { want, unit, picture: clip.picture, frames, marks: said, camera: choices, fields: typed, ...(fit ? { fit } : {}) };
}

/** @param {Film.Track} track */
const inOrder = (track) => [...track].sort(([one], [other]) => one - other);

const NEXT = 4; // pictures apart that still follow one another: a slow device leaves some out

/** The stretches of what was followed, by number of picture. @param {Film.Track} track */
export function stretches(track) {
  /** @type {Film.Stretch[]} */
  const found = [];
  for (const [index, { lost, why = "" }] of inOrder(track)) {
    const last = found.at(-1);
    if (last && last.lost === lost && (!lost || last.why === why) && index - last.to <= NEXT) last.to = index;
    else found.push({ from: index, to: index, lost, why });
  }
  return found;
}

/** How the background lay at a picture that was followed, or at the nearest one before it. @param {Film.Track} track @param {number} index */
export function movedAt(track, index) {
  for (let at = index; track.has(at); at--) {
    const moved = track.get(at)?.moved;
    if (moved) return moved;
  }
  return null;
}

/** Two movements, one after the other. @param {Film.Moved} first @param {Film.Moved} then @returns {Film.Moved} */
export function after(first, then) {
  const turn = (then.turn * Math.PI) / 180;
  const [c, s] = [then.grow * Math.cos(turn), then.grow * Math.sin(turn)];
  return {
    x: then.x + c * first.x - s * first.y,
    y: then.y + s * first.x + c * first.y,
    turn: first.turn + then.turn,
    grow: first.grow * then.grow,
    sd: Math.hypot(first.sd, then.sd),
  };
}
