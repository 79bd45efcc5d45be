// Opening a clip or a photo: what is shown of it first, and what is said when it cannot be.

import { say } from "../../words.mjs";
import { byId, find, findAll } from "../shared/find.mjs";
import { LIFT } from "../shared/lift.mjs";
import { open, troubleOf } from "./clip.mjs";
import { facts } from "./facts.mjs";
import { keptInTab, same } from "./keep.mjs";
import { clearAnswer } from "./show.mjs";
import { tellNext, tellOpen, tellTrouble } from "./tell.mjs";

/** @param {unknown} error @returns {error is Film.Trouble} */
const isTrouble = (error) => typeof error === "object" && error !== null && "code" in error && "remedy" in error;

export class Opening {
  #turn = 0;

  /** @param {import("./state.mjs").State} film @param {HTMLVideoElement} video @param {{ picture: import("./picture.mjs").Picture, marking: import("./marking.mjs").Marking, following: import("./following.mjs").Following }} parts */
  constructor(film, video, { picture, marking, following }) {
    this.film = film;
    this.video = video;
    this.picture = picture;
    this.marking = marking;
    this.following = following;
    for (const box of findAll(document, ".example")) {
      if (box.dataset.lift !== LIFT) box.remove();
      else find(box, "button").addEventListener("click", ({ currentTarget }) => this.#example(/** @type {HTMLElement} */ (currentTarget).dataset.example ?? ""));
    }
    for (const id of ["file", "camera"]) {
      const input = byId(id, HTMLInputElement);
      input.addEventListener("change", () => {
        this.#open(input.files?.[0]);
        input.value = ""; // so that the same file can be opened again
      });
    }
  }

  /** The invented clip; the device keeps it from then on. @param {string} address */
  async #example(address) {
    const turn = ++this.#turn;
    tellTrouble(null);
    try {
      const response = await fetch(address);
      if (!response.ok) throw new Error(String(response.status));
      const file = new File([await response.blob()], say("film_example_name"), { type: "video/mp4", lastModified: 0 });
      if (turn === this.#turn) await this.#open(file, true);
    } catch {
      if (turn === this.#turn) tellTrouble(troubleOf("example"));
    }
  }

  /** @param {File | undefined} file @param {boolean} [invented] */
  async #open(file, invented = false) {
    if (!file) return;
    const turn = ++this.#turn;
    this.following.leave();
    tellTrouble(null);
    tellOpen(say("film_opening", file.name));
    try {
      const opened = await open(file, this.video);
      if (turn === this.#turn) await this.#show(opened, file, invented);
      else opened.close();
    } catch (error) {
      if (turn === this.#turn) await this.#refused(file, error);
    }
  }

  /** @param {File} file @param {unknown} error */
  async #refused(file, error) {
    const { film } = this;
    tellTrouble(isTrouble(error) ? error : troubleOf("broken", file.name, error instanceof Error ? error.message : ""));
    tellOpen("");
    if (!film.clip) return; // else the one that was open stays so
    await film.clip.takeVideo();
    tellNext(film);
    await this.picture.goTo(film.at);
  }

  /** @param {import("./state.mjs").Open} clip @param {File} file @param {boolean} invented */
  async #show(clip, file, invented) {
    const { film, picture } = this;
    const before = keptInTab();
    const known = before && same(before.file, file) ? before : null;
    film.takeClip(clip, known?.marks);
    picture.open(clip);
    this.following.open(clip);
    this.marking.choose(film.missing[0]?.key ?? film.kind);
    clearAnswer();
    await picture.goTo(known?.at ?? 0);
    film.openedAs = say(invented ? "film_example_opened" : known ? "film_reopened" : "film_opened", file.name, facts(clip));
    tellNext(film);
    byId("said").scrollIntoView({ block: "start" }); // what comes next, and the picture below it
  }
}
