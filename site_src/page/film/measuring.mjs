// Measuring: asks the core whenever something has changed, and shows what it says.

import { say } from "../../words.mjs";
import { byId } from "../shared/find.mjs";
import { ofLiftHere } from "../shared/lift.mjs";
import { GUEST, fitRequestOf } from "../shared/record.mjs";
import { requestOf } from "./marks.mjs";
import { csvOf, save } from "./save.mjs";
import { clearAnswer, showAnswer, showErrors } from "./show.mjs";

const REST_MS = 300;

export class Measuring {
  #resting = 0;
  #awake = false;

  /** @param {import("./state.mjs").State} film @param {import("../shared/worker-client.mjs").WorkerClient<Core.FilmQuestions>} client @param {import("./about.mjs").About} about @param {import("./attach.mjs").Attach} attach */
  constructor(film, client, about, attach) {
    this.film = film;
    this.client = client;
    this.about = about;
    this.attach = attach;
    film.onChange(() => {
      clearTimeout(this.#resting);
      if (!film.stop) this.#resting = setTimeout(() => this.measure(), REST_MS);
    });
    byId("csv").addEventListener("click", async () => {
      if (film.answer && film.clip) byId("csv-said").textContent = await save(csvOf(film.answer, film), film.clip.file.name);
    });
  }

  /** @param {boolean} awake */
  onAwake(awake) {
    this.#awake = awake;
    if (awake && this.film.answer === null) this.measure();
  }

  measure() {
    const { film, client } = this;
    const { clip, marks, track, record } = film;
    if (!clip || !record || film.stop) return;
    const fit = fitRequestOf(record);
    byId("plan-said").textContent = !fit ? say("film_plan_none") : record.id === GUEST ? say("film_plan_guest") : say("film_plan_of", record.name);
    const { fields, ...about } = this.about.values();
    /** @type {Kept.Texts} */
    const lens = clip.info.lens ? { focal: `${clip.info.lens} mm` } : {};
    const request = requestOf({ clip, marks, track, ...about, fields: { ...lens, ...fields }, fit });
    if (!request) {
      client.drop("measure");
      this.about.showErrors([]);
      return this.#nothing();
    }
    byId("measured-said").textContent = say(this.#awake ? "film_measuring" : "film_waiting");
    client.ask("measure", ofLiftHere(request));
  }

  /** @param {string} [text] */
  #nothing(text) {
    this.film.answer = null;
    this.attach.show(null, this.film.record);
    clearAnswer(text);
  }

  /** @param {Core.Measured | Core.Refused} response */
  onMeasured(response) {
    this.about.showErrors(response.errors, response.reading);
    byId("measured-said").textContent = "";
    if (!response.ok) {
      this.#nothing("");
      return showErrors(response.errors);
    }
    this.film.answer = response;
    showAnswer(response);
    this.attach.show(response, this.film.record);
  }
}
