// What the film check knows: the clip that is open, its marks, what was followed in it, where one stands, and the answer.
// The parts of the screen read and write it here, by name; who wants to know when a mark or a choice changed asks for it.

import { Marks } from "./marks.mjs";

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
    Object.assign(this, { clip, marks: new Marks(this.kinds, marks), track: new Map(), answer: null, at: 0 });
  }

  /** The needed marks that are not there. */
  get missing() {
    return this.kinds.filter(({ key, needed }) => needed && !this.marks.places(key).length);
  }

  /** The mark to ask for next, if any. */
  get next() {
    return this.missing[0] ?? this.kinds.find(({ key, wanted }) => wanted && !this.marks.places(key).length);
  }

  /** @param {string} key @returns {Film.KindOf} */
  kindOf(key) {
    return this.kinds.find((one) => one.key === key) ?? this.kinds[0];
  }
}
