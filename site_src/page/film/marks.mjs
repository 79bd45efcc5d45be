// The marks on a clip: by kind and picture, with what they mean to the core. No DOM here.

import { axesOf, fromAxes } from "./outline.mjs";

export const KINDS = ["rim", "shoulder", "bar_end", "elbow", "wrist", "edge_a", "edge_b"];
export const NEEDED = ["rim", "shoulder"];
const BY_HAND_SD = 0.03; // of the radius: what a ring set by hand is worth

/** One kind may be marked in several pictures: {kind: {index: {x, y, sd, a?, b?, tilt?}}}; sd: its error (px). */
export class Marks {
  constructor(marks = {}) {
    this.all = Object.fromEntries(KINDS.map((kind) => [kind, { ...marks[kind] }]));
  }

  /** The pictures in which a kind is marked. */
  places(kind) {
    return Object.keys(this.all[kind]).map(Number).sort((one, other) => one - other);
  }

  /** The mark that counts at a picture: its own, else that of the nearest one; {index, own, mark}, or null. */
  at(kind, index) {
    const places = this.places(kind);
    if (!places.length) return null;
    const near = places.reduce((best, place) => (Math.abs(place - index) < Math.abs(best - index) ? place : best));
    return { index: near, own: near === index, mark: this.all[kind][near] };
  }

  put(kind, index, mark) {
    this.all[kind][index] = mark;
  }

  /** Takes the mark off that counts at a picture. */
  remove(kind, index) {
    const found = this.at(kind, index);
    if (found) delete this.all[kind][found.index];
    return found;
  }

  missing() {
    return NEEDED.filter((kind) => !this.places(kind).length);
  }
}

/** A ring of that radius as a mark. */
export const ring = (x, y, radius) => ({ x, y, a: radius, b: radius, tilt: 0 });

/** The rim at a picture: as followed there, else as marked. */
export function outlineAt(track, marks, index) {
  const held = track.get(index);
  if (held && !held.lost) return held.a ? held : { ...nearestRim(track, index), x: held.x, y: held.y };
  const marked = marks.all.rim[index];
  return marked ?? null;
}

function nearestRim(track, index) {
  for (let step = 1; step < track.size + 1; step++) {
    for (const other of [index - step, index + step]) if (track.get(other)?.a) return track.get(other);
  }
  return { a: 0, b: 0, tilt: 0 };
}

/** An outline grown by a factor. */
export function grownBy(mark, factor) {
  const outline = fromAxes(mark);
  return { ...mark, ...axesOf({ xx: outline.xx * factor, xy: outline.xy * factor, yy: outline.yy * factor }) };
}

/** The request "film/measure" of what was marked and followed; null where something needed is missing. */
export function requestOf({ clip, marks, track, unit, fields, choices, fit }) {
  const photo = clip.kind === "photo";
  if (!marks.places("shoulder").length) return null;
  const frames = [...track.keys()].sort((one, other) => one - other).map((index) => {
    const { lost, x, y, a, b, tilt, sd, axes_sd, quality } = track.get(index);
    const t = clip.times[index];
    return lost ? { t, lost: true } : { t, x, y, sd, quality, ...(a ? { a, b, tilt, axes_sd } : {}) };
  });
  if (photo && !frames.length) {
    const rim = marks.at("rim", 0)?.mark;
    if (!rim) return null;
    const sd = Math.max(1, BY_HAND_SD * rim.a);
    frames.push({ t: 0, ...rim, sd, axes_sd: sd });
  }
  if (!frames.some(({ lost }) => !lost)) return null;
  const points = (kind) => marks.places(kind).map((index) => {
    const { x, y, sd } = marks.all[kind][index];
    return { ...(photo ? {} : { t: clip.times[index] }), x, y, sd };
  });
  const said = { shoulder: points("shoulder") };
  for (const kind of ["bar_end", "elbow", "wrist"]) if (marks.places(kind).length) said[kind] = points(kind);
  const edge = ["edge_a", "edge_b"].flatMap((kind) => points(kind).slice(0, 1)).map(({ x, y, sd }) => ({ x, y, sd }));
  if (edge.length === 2) said.edge = edge;
  const typed = Object.fromEntries(Object.entries(fields).filter(([, text]) => text.trim()));
  return { want: "film/measure", unit, picture: clip.picture, frames, marks: said, camera: choices, fields: typed, ...(fit ? { fit } : {}) };
}

/** The stretches of what was followed: [{from, to, lost, why}] by number of picture. */
export function stretches(track) {
  const found = [];
  for (const index of [...track.keys()].sort((one, other) => one - other)) {
    const { lost, why = "" } = track.get(index);
    const last = found.at(-1);
    if (last && last.lost === lost && (!lost || last.why === why) && last.to === index - 1) last.to = index;
    else found.push({ from: index, to: index, lost, why });
  }
  return found;
}
