// The picture that is shown: stepping, playing, zoom, and what is drawn on it.

import { say } from "../../words.mjs";
import { showText } from "../shared/element.mjs";
import { byId } from "../shared/find.mjs";
import { seconds } from "./facts.mjs";
import { showSet } from "./kinds.mjs";
import { outlineAt, stretches } from "./marks.mjs";

/** @typedef {import("./state.mjs").Open} Open */

const ZOOM = 1.6;

/** @param {boolean} off @param {string[]} ids */
function disable(off, ...ids) {
  for (const id of ids) byId(id, HTMLButtonElement).disabled = off;
}

export class Picture {
  #slider = byId("at", HTMLInputElement);
  #play = byId("play");

  /** @param {import("./state.mjs").State} film @param {import("./stage.mjs").Stage} stage @param {HTMLVideoElement} video */
  constructor(film, stage, video) {
    this.film = film;
    this.stage = stage;
    this.video = video;
    for (const [id, by] of Object.entries({ "back-ten": -10, back: -1, on: 1, "on-ten": 10 })) byId(id).addEventListener("click", () => this.step(by));
    this.#slider.addEventListener("input", () => this.step(Number(this.#slider.value) - film.at));
    byId("zoom-in").addEventListener("click", () => this.#zoom(ZOOM));
    byId("zoom-out").addEventListener("click", () => this.#zoom(1 / ZOOM));
    this.#play.addEventListener("click", () => this.#startOrStop());
    video.addEventListener("play", () => this.#playing());
    video.addEventListener("pause", () => {
      this.#play.setAttribute("aria-pressed", "false");
      if (film.clip?.kind === "clip" && !film.stop) this.goTo(film.clip.indexAt(video.currentTime));
    });
  }

  /** A clip has been opened. @param {Open} clip */
  open(clip) {
    byId("bench").hidden = false;
    byId("how", HTMLDetailsElement).open = false;
    document.documentElement.dataset.film = clip.kind;
    byId("steps").hidden = byId("rail").hidden = clip.kind === "photo";
    this.#slider.max = String(clip.times.length - 1);
    this.stage.open(clip.source, clip.picture);
  }

  /** @param {number} index */
  async goTo(index) {
    const { film } = this;
    if (!film.clip) return;
    film.at = Math.min(film.clip.times.length - 1, Math.max(0, index));
    film.preview = null;
    this.tellWhere();
    await film.clip.show(film.at);
    this.show();
  }

  /** @param {number} by */
  step(by) {
    this.pause();
    this.stage.closeLoupe();
    this.goTo(this.film.at + by);
  }

  tellWhere() {
    const { at, clip } = this.film;
    if (!clip) return;
    const { times, kind } = clip;
    const photo = kind === "photo";
    disable(at === 0, "back", "back-ten");
    disable(at === times.length - 1, "on", "on-ten");
    this.#slider.value = String(at);
    const place = say("film_picture_of", at + 1, times.length);
    this.#slider.setAttribute("aria-valuetext", say("film_time_and_picture", seconds(times[at]), place));
    showText(byId("time"), photo ? say("film_photo") : say("film_time", times[at].toFixed(3)));
    byId("frame-said").textContent = photo ? "" : place;
  }

  /** Draws everything again: picture, marks, states. */
  show() {
    const { film } = this;
    const { clip, track, marks, at, kinds, kind } = film;
    if (!clip) return;
    const state = track.get(at);
    this.stage.show({
      preview: film.preview,
      held: state && !state.lost ? outlineAt(track, marks, at) : null,
      path: pathOf(track),
      marks: kinds.flatMap(({ key, label }) => {
        const found = marks.at(key, at);
        if (!found || (key === "rim" && !found.own && state)) return [];
        return [{ ...found.mark, kind: key, own: found.own || key.startsWith("edge"), chosen: key === kind, label }];
      }),
    });
    this.showStates();
  }

  /** Which marks are set, and what is known of the chosen one in this picture. */
  showStates() {
    const { clip, track, marks, at, kinds, kind } = this.film;
    if (!clip) return;
    const { asks } = this.film;
    const photo = clip.kind === "photo";
    for (const { key, ofPhoto } of kinds) {
      const asked = asks.filter((ask) => ask.kind.key === key);
      if (asked.length > 1) showSet(key, asked.filter((ask) => this.film.isMarked(ask)).length, asked.length);
      else showSet(key, Number(marks.places(key).length > 0), 1, ofPhoto || !photo);
    }
    const { label, hint, pictures } = this.film.kindOf(kind);
    const found = marks.at(kind, at);
    const time = found && clip.kind === "clip" ? seconds(clip.times[found.index]) : "";
    const status = !found ? say("film_unset") : !time ? say("film_set") : found.own ? say("film_set_at", time) : say("film_ghost", time);
    const state = track.get(at);
    const held = !state ? "" : state.lost ? say("film_mend") : state.how === "face" ? say("film_face") : say("film_held", Math.round(100 * state.quality));
    byId("mark-said").textContent = [say("film_status", label, status), held].filter(Boolean).join(" ");
    byId("mark-hint").textContent = photo || !pictures ? hint : `${hint} ${pictures}`;
    disable(kind !== "rim", "smaller", "larger");
    disable(!found, "remove");
    disable(this.stage.zoom <= 1, "zoom-out");
  }

  /** @param {number} factor */
  #zoom(factor) {
    const { marks, kind, at } = this.film;
    const found = marks.at(kind, at);
    this.stage.zoomBy(factor, found && factor > 1 ? { x: found.mark.x, y: found.mark.y } : null);
    this.showStates();
  }

  // ---- playing

  pause() {
    if (!this.video.paused) this.video.pause();
  }

  #startOrStop() {
    const { video, film } = this;
    if (!video.paused) return video.pause();
    if (film.clip?.kind !== "clip") return;
    if (film.at >= film.clip.times.length - 1) video.currentTime = film.clip.middle(0);
    video.play().catch(() => {});
  }

  #playing() {
    this.#play.setAttribute("aria-pressed", "true");
    this.stage.closeLoupe();
    const tick = () => {
      const { video, film } = this;
      if (video.paused || film.clip?.kind !== "clip" || film.stop) return;
      film.at = film.clip.indexAt(video.currentTime);
      this.tellWhere();
      this.show();
      requestAnimationFrame(tick);
    };
    tick();
  }
}

/** The ways of the plate, in stretches. @param {Film.Track} track */
function pathOf(track) {
  return stretches(track).filter(({ lost }) => !lost).map(({ from, to }) => {
    /** @type {[number, number][]} */
    const points = [];
    for (let index = from; index <= to; index++) {
      const seen = track.get(index);
      if (seen && !seen.lost) points.push([seen.x, seen.y]);
    }
    return points;
  });
}
