// Results: the one on the screen, the one that waits until the cautions are read, and whose numbers made them.

import { say } from "../../words.mjs";
import { fillCard } from "./card.mjs";
import { byId, find, findAll } from "../shared/find.mjs";
import { listed } from "../shared/said.mjs";
import { age, render, showAge, showDoubt, speak } from "./render.mjs";

const DOUBT_REST_MS = 1000; // the intervals take the calculator longer than a setup does
const NAMED_NUMBERS = 2;
const exampleNumbers = find(document, '#age [data-part="from"]').textContent;

/**
 * @typedef {{ response: Core.Fitted, request: Core.FitRequest, fragment: string, example: boolean, stale?: boolean }} Result
 * @typedef {object} Hooks
 * @property {<K extends keyof Core.FitQuestions>(kind: K, request: Core.FitQuestions[K]["request"]) => void} ask
 * @property {() => import("./person.mjs").Person} whose
 * @property {() => void} onCautionsRead
 */

export class Results {
  #form;
  #session;
  #hooks;
  /** @type {Result | null} */
  last = null; // the last good one
  /** @type {Result | null} */
  #held = null; // one that waits until the cautions are read
  #asBuilt = true; // the intervals in the page are the example's, worked out when it was built
  /** @type {string | undefined} */
  #exampleFrom; // the example's numbers in words
  /** @type {string | undefined} */
  #shownFrom; // whose numbers made the result on the screen
  /** @type {number | undefined} */
  #doubting;
  /** @type {Core.FitRequest | null} */
  #feel = null; // what is yet to be asked for

  /** @param {import("./form.mjs").TapeForm} form @param {import("./person.mjs").Session} session @param {Hooks} hooks */
  constructor(form, session, hooks) {
    this.#form = form;
    this.#session = session;
    this.#hooks = hooks;
    byId("setup").addEventListener("pointerover", () => this.#askFeel());
    for (const trouble of findAll(document, "#past-trouble")) { // a lift may have no careful setting
      trouble.addEventListener("change", ({ target }) => {
        if (target instanceof HTMLInputElement) find(document, `[name="${trouble.dataset.sets}"][value="${target.value}"]`).click();
      });
    }
    byId("first-read").addEventListener("click", () => {
      session.readCautions = true;
      this.showCautionsFirst(false);
      if (this.#held) this.#show(this.#held);
      this.#held = null;
      hooks.onCautionsRead();
      byId("setup").focus({ preventScroll: true });
      scrollTo({ top: 0 });
    });
  }

  /** The link's fragment of what is on the screen; worked out beforehand, for a share sheet only opens right after a tap. */
  get fragment() {
    return (age() === "own" && this.last?.fragment) || "";
  }

  /** Whose numbers the example stands for. */
  get fromExample() {
    const { isGuest, record } = this.#hooks.whose();
    return isGuest ? (this.#exampleFrom ?? exampleNumbers) : say("no_numbers_yet", record?.name);
  }

  /** The first numbers, and how many there are beside them: one line on a phone. @param {Core.Fitted} response */
  #source({ reading }) {
    const texts = this.#form.fields.map(({ key }) => reading[key]).filter(Boolean).map((text) => text.replaceAll(" ", "\u00a0"));
    const first = listed(texts.slice(0, NAMED_NUMBERS));
    return texts.length > NAMED_NUMBERS ? say("and_more", first, texts.length - NAMED_NUMBERS) : first;
  }

  /** @param {Core.Fitted | Core.Refused} response @param {Core.FitRequest} request */
  take(response, request) {
    const example = this.#form.isEmpty() && age() === "example";
    if (!example) this.#form.showVerdicts(response, request);
    if (!response.ok) {
      if (this.last) this.last.fragment = "";
      if (!this.#held) showAge(age() === "example" ? "example" : "old", { from: this.#shownFrom });
      else this.#held.stale = true;
      return;
    }
    const result = { response, request, fragment: "", example };
    if (!example && !this.#session.readCautions) {
      this.#held = result;
      this.showCautionsFirst(true);
    } else this.#show(result);
  }

  /** @param {Result} result */
  #show(result) {
    const { response, request, example, stale } = result;
    this.last = result;
    const from = this.#source(response);
    if (example) this.#exampleFrom = say("from_example", from);
    this.#shownFrom = example ? this.fromExample : from;
    const tag = response.chosen ? "chosen" : example ? "example" : this.#session.received ? "received" : "own";
    render(response, { age: example ? "example" : "own", tag, from: this.#shownFrom });
    fillCard(this.#form, response.reading);
    if (stale) showAge("old");
    this.wait();
    this.#feel = { ...request, want: "feel" };
    if (response.example && this.#asBuilt) return; // it is asked for once somebody comes near
    this.#forgetDoubt();
    if (!example) this.#hooks.ask("link", { ...request, want: "link" });
    this.#doubting = setTimeout(() => {
      this.#askFeel();
      if (!response.chosen) this.#hooks.ask("doubt", { ...request, want: "doubt" });
    }, DOUBT_REST_MS);
  }

  /** The grid for a finger, once for each result. */
  #askFeel() {
    if (this.#feel) this.#hooks.ask("feel", this.#feel);
    this.#feel = null;
  }

  /** Intervals of other numbers go, also those of the example that the page brought. */
  #forgetDoubt() {
    this.#asBuilt = false;
    showDoubt(null);
  }

  /** No intervals are asked for: other numbers come. */
  wait() {
    clearTimeout(this.#doubting);
    this.#feel = null;
  }

  /** The cautions, once before the first own setup. @param {boolean} wanted */
  showCautionsFirst(wanted) {
    if (wanted && byId("first").hidden) speak(say("read_first", byId("first-read").textContent));
    byId("first").hidden = !wanted;
    document.documentElement.toggleAttribute("data-first", wanted);
  }

  clear() {
    this.wait();
    this.#shownFrom = undefined;
    this.last = this.#held = null;
    this.#forgetDoubt();
    showAge("example", { from: this.#exampleFrom ?? exampleNumbers });
  }
}
