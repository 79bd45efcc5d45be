// Following the plate: starts it, shows how it goes, and says what came of it.

import { say } from "../../words.mjs";
import { byId } from "../shared/find.mjs";
import { TWICE_MS } from "../shared/press.mjs";
import { troubleOf } from "./clip.mjs";
import { seconds } from "./facts.mjs";
import { showLost, summary } from "./lost.mjs";
import { ringOf } from "./marking.mjs";
import { after, movedAt, outlineAt } from "./marks.mjs";
import { leadOf, tellFollowing, tellTrouble } from "./tell.mjs";

/** @typedef {import("./state.mjs").Open} Open */

const TELL_MS = 2000;
const TROUBLES = ["no_rim", "mark_small", "old_browser", "broken"];

export class Following {
  #bar = byId("followed", HTMLProgressElement);
  #start = byId("follow");
  #stop = byId("stop");
  #since = 0;

  /** `starts()`: following has been asked for. @param {import("./state.mjs").State} film @param {import("./stage.mjs").Stage} stage @param {import("./picture.mjs").Picture} picture @param {import("./marking.mjs").Marking} marking @param {() => void} starts */
  constructor(film, stage, picture, marking, starts) {
    this.film = film;
    this.stage = stage;
    this.picture = picture;
    this.marking = marking;
    this.starts = starts;
    this.#start.dataset.clip = this.#start.textContent ?? "";
    this.#start.dataset.photo = say("film_fit_rim");
    this.#start.addEventListener("click", () => this.#ask());
    this.#stop.addEventListener("click", () => {
      if (performance.now() - this.#since > TWICE_MS) this.#ended(say("film_stopped")); // it stands where “follow” was
    });
  }

  /** A clip has been opened. @param {Open} clip */
  open(clip) {
    this.#start.textContent = this.#start.dataset[clip.kind] ?? "";
    this.showLost();
    this.#tell("");
  }

  showLost() {
    showLost(this.film, (index) => {
      this.marking.choose("rim");
      this.picture.goTo(index);
      byId("stage").scrollIntoView({ block: "nearest" });
    });
  }

  /** @param {string} text */
  #tell(text, isError = false) {
    tellFollowing(text, this.film.clip?.kind !== "photo", isError);
  }

  #ask() {
    const { clip, marks, track, at } = this.film;
    if (!clip) return;
    const marked = marks.all.rim[at]; // before what was followed to here: it mends that
    const mark = marked ? ringOf(marked) : (clip.kind === "photo" ? null : outlineAt(track, marks, at));
    if (!mark) {
      this.marking.choose("rim");
      return this.#tell(say("film_rim_first"), true);
    }
    this.#follow(clip, ringOf(mark));
  }

  /** @param {Open} clip @param {Film.Ring} mark */
  #follow(clip, mark) {
    const { film, picture } = this;
    this.#since = performance.now();
    this.starts();
    picture.pause();
    this.stage.closeLoupe();
    tellTrouble(null);
    const from = film.at;
    const last = clip.kind === "photo" ? 0 : clip.lastFrom(from);
    const before = movedAt(film.track, from);
    for (const index of [...film.track.keys()]) if (index >= from) film.track.delete(index);
    this.#stop.hidden = this.#bar.hidden = false;
    this.#start.hidden = true;
    busy(true);
    this.#bar.value = 0;
    this.showLost();
    let told = 0;
    let thinned = 1; // each so-many-th picture is looked at, on a slow device
    film.stop = clip.follow(from, mark, ({ frames = [], preview = null, every, done, trouble }) => {
      if (!film.stop) return;
      if (every) thinned = every;
      for (const [index, result] of frames) film.track.set(index, result.moved && before ? { ...result, moved: after(before, result.moved) } : result);
      const newest = frames.at(-1);
      if (newest) {
        [film.at] = newest;
        this.#bar.value = (film.at - from + 1) / (last - from + 1);
      }
      if (preview) {
        this.#show(preview);
        if (performance.now() - told > TELL_MS) {
          told = performance.now();
          this.#tell(say("film_following", film.at - from + 1, last - from + 1));
        }
      }
      if (trouble) this.#failed(clip, trouble, from, mark);
      else if (done) {
        const result = film.missing.length ? "" : say("film_result_below");
        this.#ended([clip.kind === "photo" ? say("film_fitted") : summary(film, from, last, thinned), result, film.next ? leadOf(film) : ""].filter(Boolean).join(" "));
      }
    });
  }

  /** @param {ImageBitmap} preview of the picture that is followed now */
  #show(preview) {
    this.film.preview?.close();
    this.film.preview = preview;
    this.picture.tellWhere();
    this.picture.show();
  }

  /** Ends what is being followed, if anything. */
  leave() {
    const { film } = this;
    busy(false);
    film.stop?.();
    film.stop = null;
    this.#stop.hidden = this.#bar.hidden = true;
    this.#start.hidden = false;
    film.preview?.close();
    film.preview = null;
  }

  /** Following has ended, by itself or by hand. @param {string} text */
  async #ended(text) {
    const { film } = this;
    this.leave();
    this.#tell(text);
    this.showLost();
    film.changed();
    await this.picture.goTo(film.at);
    if (film.missing.length && film.next) this.marking.choose(film.next.kind.key);
  }

  /** @param {Open} clip @param {NonNullable<Film.Told["trouble"]>} trouble @param {number} from @param {Film.Ring} mark */
  #failed(clip, { code, detail }, from, mark) {
    const { film } = this;
    this.leave();
    const until = Math.max(from, ...film.track.keys());
    const told = TROUBLES.includes(code) ? code : "broken";
    const known = told === "broken" && until > from ? "rotten" : told;
    /** @type {{ [known: string]: string[] }} */
    const parts = { mark_small: [((mark.a + mark.b) / 2).toFixed(0)], rotten: [clip.file.name, seconds(clip.times[until])] };
    const { message, remedy } = troubleOf(known, ...(parts[known] ?? [clip.file.name, detail]));
    if (known === "no_rim" || known === "mark_small") film.track.delete(from);
    const loose = clip.kind === "photo" && known === "no_rim"; // the ring is used as it stands
    this.#tell(loose ? say("film_fitted_loose") : [message, remedy].join(" "), !loose);
    this.showLost();
    film.changed();
    this.picture.goTo(known === "rotten" ? until : from);
  }
}

/** While the plate is followed the picture is the tracker's. @param {boolean} so */
function busy(so) {
  for (const id of ["steps", "rail", "keys", "kinds"]) byId(id).inert = so;
}
