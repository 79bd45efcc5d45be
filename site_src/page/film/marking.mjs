// Marking: a tap puts the chosen mark, fingers and keys move it, the ring is sized.

import { say } from "../../words.mjs";
import { showText } from "../shared/element.mjs";
import { byId } from "../shared/find.mjs";
import { lookForEnd, lookForRim } from "./clip.mjs";
import { check, onChoice } from "./kinds.mjs";
import { grownBy, outlineAt, ring } from "./marks.mjs";

const END = "bar_end";
const FAR = 10; // how many times as far with Shift, or the key for it
const FIRST_RADIUS = 1 / 9; // of the picture's shorter side: the ring before it is sized
const RIM_STEP = 1.01;
// px of the screen as it was zoomed: what a tap is worth, and a mark moved under the loupe; `least`: px of the picture
const MARK_SD = { tapped: 3, moved: 0.6, least: 0.7 };
const END_AT = 0.4; // radii of the rim from its middle: there the bar's end is, as the camera sees it
const ANEW_PX = 20; // of the screen: a tap further than this from a mark that was tapped sets the next one

export class Marking {
  #far = false;
  /** @type {(() => void) | null} */
  #looking = null; // ends looking for the rim
  #tapped = ""; // the kind that was tapped last: the next tap elsewhere is for the next one

  /** @param {import("./state.mjs").State} film @param {import("./stage.mjs").Stage} stage @param {import("./picture.mjs").Picture} picture */
  constructor(film, stage, picture) {
    this.film = film;
    this.stage = stage;
    this.picture = picture;
    onChoice((key) => {
      this.#tapped = "";
      stage.closeLoupe();
      this.choose(key);
    });
    const far = byId("far");
    far.addEventListener("click", () => {
      this.#far = !this.#far;
      far.setAttribute("aria-pressed", String(this.#far));
    });
    /** @type {{ [id: string]: (times: number) => void }} */
    const keys = {
      left: (times) => this.#nudge(-times, 0),
      right: (times) => this.#nudge(times, 0),
      up: (times) => this.#nudge(0, -times),
      down: (times) => this.#nudge(0, times),
      smaller: (times) => this.#size(RIM_STEP ** -times),
      larger: (times) => this.#size(RIM_STEP ** times),
    };
    for (const [id, does] of Object.entries(keys)) byId(id).addEventListener("click", () => does(this.#times));
    byId("remove").addEventListener("click", () => this.#remove());
  }

  get #times() {
    return this.#far ? FAR : 1;
  }

  /** Looks for the rim of the plate that was tapped, and puts the ring on it. @param {Film.Point} tap */
  #findRim(tap) {
    const { film } = this;
    const { clip, at } = film;
    if (!clip) return;
    this.tellRim(say("film_rim_looking"));
    this.#looking = lookForRim(clip, tap, (rim) => {
      this.#looking = null;
      if (film.clip !== clip || film.at !== at || film.kind !== "rim" || film.stop) return this.tellRim("");
      if (rim?.ring) {
        this.put(rim.ring, { whole: true });
        this.#tapped = "rim";
        this.stage.showFrom(rim.ring, film.next?.kind.from);
      }
      this.tellRim(say(rim?.ring ? "film_rim_found" : rim?.why === "several" ? "film_rim_several" : "film_rim_none"));
    });
  }

  /** What came of looking for the rim. @param {string} text */
  tellRim(text) {
    showText(byId("rim-said"), text);
  }

  /** Whether a mark can be put now. */
  get #ready() {
    return Boolean(this.film.clip && !this.film.stop);
  }

  /** @param {string} key of a kind */
  choose(key) {
    this.#noLook();
    this.film.kind = key;
    check(key);
    this.picture.show();
  }

  /** The rim as it is now in this picture; a new one is put at `point`. @param {Film.Point} point @returns {Film.Ring} */
  #rimNow(point) {
    const { clip, track, marks, at } = this.film;
    const found = outlineAt(track, marks, at) ?? marks.at("rim", at)?.mark;
    if (found) return ringOf(found);
    return ring(point.x, point.y, FIRST_RADIUS * Math.min(clip?.picture.width ?? 0, clip?.picture.height ?? 0));
  }

  /** The chosen mark as it is now, in this picture; a new one is put at `point`. @returns {Film.Point & Partial<Film.Axes>} */
  #current(point = this.stage.middle) {
    const { kind, marks, at } = this.film;
    if (kind === "rim") return this.#rimNow(point);
    const { x, y } = marks.at(kind, at)?.mark ?? point;
    return { x, y };
  }

  #noLook() {
    this.#looking?.();
    this.#looking = null;
    this.tellRim("");
  }

  /** `whole`: the loupe shows all of the ring; `tapped`: no finger or key has moved it. @param {Film.Point & Partial<Film.Axes>} mark @param {{ whole?: boolean, tapped?: boolean }} how */
  put(mark, { whole = false, tapped = false } = {}) {
    const { film, stage } = this;
    if (!film.clip) return;
    this.#noLook();
    const { width, height } = film.clip.picture;
    const x = Math.min(width, Math.max(0, mark.x));
    const y = Math.min(height, Math.max(0, mark.y));
    if (film.kind.startsWith("edge")) film.marks.all[film.kind] = {}; // a bench does not move
    if (film.kind === "rim" && film.clip.kind === "photo") film.track = new Map();
    const r = tapped ? 0 : film.marks.all[film.kind][film.at]?.r;
    film.marks.put(film.kind, film.at, { ...mark, ...(r ? { r } : {}), x, y, sd: Math.max(MARK_SD.least, (tapped ? MARK_SD.tapped : MARK_SD.moved) * stage.grain) });
    stage.follow({ x, y });
    this.picture.show();
    stage.magnify(whole);
    film.changed();
  }

  #remove() {
    const { film } = this;
    this.#noLook();
    film.marks.remove(film.kind, film.at);
    this.stage.closeLoupe();
    this.picture.show();
    film.changed();
  }

  // ---- fingers

  /** @param {Film.Point} point */
  onTap(point) {
    if (!this.#ready) return;
    this.picture.pause();
    if (this.#isForNext(point)) this.choose(this.film.next?.kind.key ?? this.film.kind);
    const { kind } = this.film;
    this.put({ ...this.#current(point), x: point.x, y: point.y }, { tapped: true });
    this.#tapped = kind === "rim" ? "" : kind; // the rim, once it is found
    if (kind === "rim") this.#findRim(point);
    if (kind === END) this.#findEnd();
  }

  /** How large the end of the sleeve is: it tells whether the plate is as large as is said. */
  #findEnd() {
    const { film } = this;
    const { clip, at, marks, track } = film;
    const mark = marks.all[END][at];
    const rim = outlineAt(track, marks, at);
    if (!clip || !rim) return;
    lookForEnd(clip, mark, rim, (r) => {
      if (!r || film.clip !== clip || film.marks.all[END][at] !== mark) return;
      mark.r = r;
      film.changed();
    });
  }

  /** Whether a tap is for the next mark, as the chosen one was tapped just before and this is elsewhere. @param {Film.Point} point */
  #isForNext({ x, y }) {
    const { kind, marks, at, next } = this.film;
    const mark = marks.at(kind, at)?.mark;
    if (!mark || !next || next.kind.key === kind || this.#tapped !== kind || (next.index !== null && next.index !== at)) return false;
    const far = Math.hypot(x - mark.x, y - mark.y);
    return far > (mark.a ?? ANEW_PX * this.stage.grain) || (next.kind.key === END && far < END_AT * (mark.a ?? 0));
  }

  /** @param {number} dx @param {number} dy @param {Film.Point} [start] */
  onMove(dx, dy, start) {
    if (!this.#ready) return;
    this.picture.pause();
    const mark = this.#current(start);
    this.put({ ...mark, x: mark.x + dx, y: mark.y + dy });
  }

  /** @param {number} dx */
  onSize(dx) {
    if (!this.#ready || this.film.kind !== "rim") return;
    const mark = this.#rimNow(this.stage.middle);
    const radius = (mark.a + mark.b) / 2;
    this.put(grownBy(mark, Math.min(4, Math.max(0.25, (radius + dx) / radius))));
  }

  // ---- keys

  /** @param {number} x @param {number} y */
  #nudge(x, y) {
    const { kind, marks, at, track } = this.film;
    if (!marks.at(kind, at) && !(kind === "rim" && track.get(at))) return this.put(this.#current());
    this.onMove(x * this.stage.grain, y * this.stage.grain);
  }

  /** @param {number} by */
  #size(by) {
    if (this.film.clip && this.film.kind === "rim") this.put(grownBy(this.#rimNow(this.stage.middle), by));
  }

  /** @param {KeyboardEvent} event */
  onKey(event) {
    if (!this.#ready || event.ctrlKey || event.metaKey || event.altKey) return;
    const by = event.shiftKey ? FAR : this.#times;
    /** @type {{ [key: string]: (() => void) | undefined }} */
    const keys = {
      ArrowLeft: () => this.#nudge(-by, 0), ArrowRight: () => this.#nudge(by, 0), ArrowUp: () => this.#nudge(0, -by), ArrowDown: () => this.#nudge(0, by),
      "+": () => this.#size(RIM_STEP ** this.#times), "-": () => this.#size(RIM_STEP ** -this.#times), ",": () => this.picture.step(-1), ".": () => this.picture.step(1),
    };
    const does = keys[event.key];
    if (!does) return;
    event.preventDefault();
    does();
  }
}

/** @param {Film.Mark | Film.Ring} mark of the rim @returns {Film.Ring} */
export const ringOf = ({ x, y, a = 0, b = 0, tilt = 0 }) => ({ x, y, a, b, tilt });
