// What the film check knows: the clip that is open, its marks, what was followed in it, where one stands, and the answer.
// The parts of the screen read and write it here, by name; who wants to know when a mark or a choice changed asks for it.

import { Marks } from "./marks.mjs";

const NEAR_S = 0.5; // from the picture in which a mark is asked for, as in the core

/** @typedef {{ kind: Film.KindOf, moment: string, index: number | null }} Ask a mark that is asked for, at a moment in a picture; in any where there is none */
/** @typedef {import("./clip.mjs").Clip | import("./clip.mjs").Photo} Open */

export class State {
  /** @type {Open | null} */
  clip = null;
  openedAs = ""; // what is open, in words
  /** @type {Film.Track} */
  track = new Map(); // by the number of the picture: what the tracker said
  at = 0; // the picture that is shown
  /** @type {ImageBitmap | null} */
  preview = null; // of the picture that is being followed
  /** @type {{ [moment: string]: number } | null} */
  moments = null; // the pictures at which joints are asked for; null while they are not known
  /** @type {(() => void) | null} */
  stop = null; // ends what is being followed
  /** @type {Core.Measured | null} */
  answer = null;
  /** @type {Kept.Lifter | null} */
  record = null;
  /** @type {(() => void)[]} */
  #heard = [];

  /** @param {Film.KindOf[]} kinds of marks, the rim first */
  constructor(kinds) {
    this.kinds = kinds;
    this.kind = kinds[0].key; // the mark that is chosen
    this.marks = new Marks(kinds);
  }

  /** Calls back whenever a mark, what was followed, or a choice has changed. @param {() => void} back */
  onChange(back) {
    this.#heard.push(back);
  }

  changed() {
    for (const back of this.#heard) back();
  }

  /** Another clip: nothing is followed or answered, it has these marks. @param {Open} clip @param {Partial<Film.AllMarks>} marks */
  takeClip(clip, marks = {}) {
    this.clip?.close();
    Object.assign(this, { clip, marks: new Marks(this.kinds, marks), track: new Map(), moments: null, answer: null, at: 0 });
  }

  /** The needed marks that are not there. */
  get missing() {
    return this.kinds.filter(({ key, needed }) => needed && !this.marks.places(key).length);
  }

  /** The marks that are asked for, in the order in which to set them. @returns {Ask[]} */
  get asks() {
    const { moments, clip } = this;
    const photo = clip?.kind === "photo";
    const inAny = photo || (moments && !Object.keys(moments).length);
    const anywhere = this.kinds.filter(({ at, needed, wanted, ofPhoto }) => (needed || wanted) && (!at.length || inAny) && (!photo || ofPhoto));
    const order = (/** @type {Film.KindOf} */ one) => Number(!one.needed);
    const found = anywhere.sort((one, other) => order(one) - order(other)).map((kind) => ({ kind, moment: "", index: /** @type {number | null} */ (null) }));
    const then = Object.entries(moments ?? {}).map(([moment, index]) => ({ moment, index, kinds: this.kinds.filter(({ at }) => at.includes(moment)) }));
    const later = (/** @type {Film.KindOf[]} */ kinds) => Number(!kinds.some(({ needed }) => needed)); // what an answer needs comes first
    then.sort((one, other) => later(one.kinds) - later(other.kinds) || one.index - other.index);
    return [...found, ...then.flatMap(({ moment, index, kinds }) => kinds.map((kind) => ({ kind, moment, index })))];
  }

  /** Whether a mark that is asked for is there: of a kind that is asked for several times each counts for the nearest. @param {Ask} ask */
  isMarked({ kind, index }) {
    const places = this.marks.places(kind.key);
    if (index === null) return places.length > 0;
    const asked = this.asks.filter((one) => one.kind === kind).map((one) => one.index ?? 0);
    const times = this.clip?.times ?? [];
    return places.some((place) => Math.abs(times[place] - times[index]) <= NEAR_S && asked.every((other) => Math.abs(other - place) >= Math.abs(index - place)));
  }

  /** The mark to ask for next, if any. @returns {Ask | undefined} */
  get next() {
    return this.asks.find((ask) => !this.isMarked(ask));
  }

  /** @param {string} key @returns {Film.KindOf} */
  kindOf(key) {
    return this.kinds.find((one) => one.key === key) ?? this.kinds[0];
  }
}
