// Asking for joints at moments: when those are, once the plate is followed, and the way to the next mark.

import { say } from "../../words.mjs";
import { showText } from "../shared/element.mjs";
import { byId } from "../shared/find.mjs";
import { ofLiftHere } from "../shared/lift.mjs";
import { fitRequestOf } from "../shared/record.mjs";
import { MOMENTS } from "./kinds.mjs";
import { outlineAt, requestOf } from "./marks.mjs";
import { tellNext } from "./tell.mjs";

export class Asking {
  #button = byId("next-mark");
  #followed = 0; // what the moments were asked of

  /** @param {import("./state.mjs").State} film @param {import("../shared/worker-client.mjs").WorkerClient<Core.FilmQuestions>} client @param {import("./about.mjs").About} about @param {{ picture: import("./picture.mjs").Picture, marking: import("./marking.mjs").Marking }} parts */
  constructor(film, client, about, { picture, marking }) {
    this.film = film;
    this.client = client;
    this.about = about;
    this.picture = picture;
    this.marking = marking;
    this.#button.addEventListener("click", () => this.#go());
    film.onChange(() => {
      this.#ask();
      this.#show();
    });
  }

  #ask() {
    const { clip, marks, track, record, stop, kinds } = this.film;
    if (!clip || clip.kind === "photo" || stop || !track.size || !kinds.some(({ at }) => at.length)) return;
    const followed = [...track].reduce((sum, [index, seen]) => sum + index + (seen.lost ? 0 : seen.y), 0);
    if (followed === this.#followed && this.film.moments) return;
    this.#followed = followed;
    const request = requestOf({ clip, marks, track, ...this.about.values(), fit: record && fitRequestOf(record) }, "film/moments");
    if (request) this.client.ask("moments", ofLiftHere(request));
  }

  /** @param {Core.FilmMoments | Core.Refused} response */
  onMoments(response) {
    const { film } = this;
    const { clip } = film;
    if (!clip || film.stop) return;
    const first = film.moments === null;
    film.moments = response.ok ? Object.fromEntries(Object.entries(response.moments).map(([moment, t]) => [moment, nearest(clip.times, t)])) : {};
    this.picture.showStates();
    this.#show();
    tellNext(film);
    if (first && film.missing.length) this.#go();
  }

  /** To the picture in which the next joint is marked. */
  #go() {
    const { next, asks, track, marks } = this.film;
    if (!next) return;
    this.marking.choose(next.kind.key);
    if (next.index === null) return;
    this.picture.goTo(next.index);
    const rim = outlineAt(track, marks, next.index);
    const { stage } = this.picture;
    const here = asks.filter(({ index }) => index === next.index).map(({ kind: { from } }) => from ?? [-1, 1]); // one tap after the other
    if (rim) stage.showFrom(rim, [Math.min(...here.map(([low]) => low)), Math.max(...here.map(([, high]) => high))], true);
    else stage.zoomBy(0); // all of the picture
  }

  #show() {
    const { next } = this.film;
    const at = next && next.index !== null;
    this.#button.hidden = !at;
    if (at) showText(this.#button, say("film_next_at", next.kind.label, MOMENTS[next.moment]));
  }
}

/** The place of the time that is nearest. @param {number[]} times @param {number} t */
const nearest = (times, t) => times.reduce((best, time, index) => (Math.abs(time - t) < Math.abs(times[best] - t) ? index : best), 0);
