// Whose sets they are, what was tapped, and what the core made of it. Every tap is stored first, then shown, then handed to Python,
// which folds it into the log and judges.

import { UNNAMED } from "../../lifts.mjs";
import { say } from "../../words.mjs";
import { startCalculator } from "../shared/calculator.mjs";
import { byId, find } from "../shared/find.mjs";
import { coming, isOff, modelOf } from "../shared/model.mjs";
import { GUEST, LIFT, blank, ofLift, tapeOf, today } from "../shared/record.mjs";
import * as store from "../shared/store.mjs";
import { draftOf, keepDraft } from "./draft.mjs";

/** @typedef {import("./draft.mjs").Draft} Draft */

const examples = JSON.parse(find(document, "main").dataset.examples ?? "{}");
/** @type {Core.SetsRequest | null} the invented trial of this lift, where it is not the one that the page brings */
const example = LIFT === UNNAMED ? null : { ...examples[LIFT], example: true };

/** This moment in the person's own time zone. */
export function now() {
  const time = new Date();
  const two = (/** @type {number} */ number) => String(Math.abs(number)).padStart(2, "0");
  const east = -time.getTimezoneOffset();
  return `${today(time)}T${[time.getHours(), time.getMinutes(), time.getSeconds()].map(two).join(":")}${east < 0 ? "-" : "+"}${two(Math.trunc(east / 60))}:${two(east % 60)}`;
}

/** @param {{ message: string, remedy: string }} trouble */
export function tellTrouble({ message, remedy }) {
  byId("store-trouble").hidden = false;
  find(byId("store-trouble"), "p").textContent = `${message} ${remedy}`;
}

export class Desk {
  record = blank(GUEST);
  model = modelOf("", []);
  /** @type {Draft} */
  draft;
  /** @type {{ [number: number]: Core.SetRow }} */
  rows = {};
  /** @type {Core.Verdict | null} the core's last whole answer for this record */
  verdict = null;
  /** @type {Promise<unknown>} taps are stored one after the other */
  writing = Promise.resolve();
  #client;
  #show;
  #judged;
  #example;

  /**
   * `show()` at every change; `judged(answer)` with the core's whole answer, `invented(answer)` with that of another lift's invented trial.
   * @param {{ show: () => void, judged: (answer: Core.Verdict) => void, invented: (answer: Core.Verdict) => void }} hooks
   */
  constructor({ show, judged, invented }) {
    this.draft = draftOf(this.record);
    this.#show = show;
    this.#judged = judged;
    this.#example = invented;
    this.#client = startCalculator(/** @type {import("../shared/calculator.mjs").Settings<Core.SetsQuestions>} */ ({
      kinds: ["fold", "verdict"],
      onResponse: (kind, response, asked) => {
        if (kind === "fold") this.#onFolded(response, asked);
        else this.#onJudged(response, asked);
      },
      beforeReload: async () => {
        keepDraft(this.record, this.draft);
        return (await this.writing.catch(() => false)) !== false;
      },
    }));
  }

  /** Takes up whoever's turn it is. */
  async begin() {
    const trouble = await store.open();
    const id = await store.current();
    this.record = await store.read(id).catch(() => store.read(GUEST));
    byId("store-trouble").hidden = true;
    if (trouble && trouble.code !== "no_storage") tellTrouble(trouble);
    this.draft = draftOf(this.record);
    this.verdict = null;
    this.rows = {};
    this.refresh();
    this.fold();
  }

  /** What another tab changed; whether this record is still there. */
  async readAgain() {
    await this.writing;
    const there = await store.read(this.record.id).catch(() => null);
    if (!there) return false;
    this.record = there;
    this.refresh();
    this.fold();
    return true;
  }

  /** @returns {Kept.MassUnit} */
  get unit() {
    return this.draft.unit ?? (tapeOf(this.record)?.unit === "in" ? "lb" : "kg");
  }

  get onList() {
    return this.model.candidates.filter((one) => !isOff(one));
  }

  get plan() {
    return coming(this.model, today());
  }

  get nextKey() {
    return this.plan?.next ?? (this.onList.length === 1 ? this.onList[0].key : "");
  }

  /** The set that is being changed. */
  get editing() {
    const { edit } = this.draft;
    return edit && this.model.sets.some((set) => set.number === edit.number) ? edit : null;
  }

  /** The core's answer where it has come to the end of just these sets. */
  get finished() {
    const { log, pending } = ofLift(this.record).trials;
    return this.verdict?.finished && this.verdict.log === log && !pending.length ? this.verdict : null;
  }

  refresh() {
    this.model = this.#read();
    this.#show();
  }

  #read() {
    const { log, pending } = ofLift(this.record).trials;
    try {
      return modelOf(log, pending);
    } catch { // a damaged log: the core says what is wrong with it
      return modelOf("", pending);
    }
  }

  // ---- storing

  /** Stores a change, then shows it, then asks for it to be folded; false where the device did not take it. @param {Kept.What & { at?: string }} change */
  commit(change, next = () => {}) {
    const done = this.writing.catch(() => {}).then(async () => {
      try {
        this.record = await store.addChange(this.record.id, { at: now(), ...change });
      } catch (error) {
        const trouble = store.asTrouble(error);
        tellTrouble({ message: say("sets_not_stored", trouble.message, trouble.remedy), remedy: "" });
        return false;
      }
      byId("store-trouble").hidden = true;
      next();
      this.refresh();
      this.fold();
      if (document.documentElement.dataset.calculator !== "ready") byId("waiting").hidden = false;
      return true;
    });
    this.writing = done;
    return done;
  }

  /** @param {Partial<Draft>} change */
  keep(change) {
    this.draft = { ...this.draft, ...change };
    keepDraft(this.record, this.draft);
  }

  /** The draft once a change is stored: nothing entered that is not in it, and the next setup of the fair order. @param {Partial<Draft>} change */
  settle(change) {
    const entry = "entry" in change ? change.entry : this.draft.entry;
    const moved = entry && !("entry" in change) ? { entry: { ...entry, candidate: coming(this.#read(), today())?.next ?? entry.candidate } } : {};
    this.keep({ ...change, ...moved });
  }

  // ---- Python

  /** @param {Core.SetsRequest["want"]} want @returns {Core.SetsRequest} */
  #request(want) {
    const { log, pending, revision } = ofLift(this.record).trials;
    return { want, lift: LIFT, log, pending, revision, unit: this.unit, date: today(), of: this.record.id };
  }

  fold() {
    this.#client.ask("fold", this.#request("sets/fold"));
  }

  /** @param {Core.Folded | Core.Refused} response @param {Core.SetsRequest} asked */
  async #onFolded(response, { of, revision = 0 }) {
    if (of !== this.record.id) return;
    if (!response.ok) return tellTrouble(response.errors[0]);
    byId("waiting").hidden = true;
    this.rows = rowsOf(response);
    if (response.refused.length) this.settle({ refused: [...this.draft.refused, ...response.refused] }); // before they leave the record
    if (response.folded) {
      try {
        ({ record: this.record } = await store.fold(of, revision, response.log, response.folded));
      } catch (error) {
        return tellTrouble(store.asTrouble(error));
      }
    }
    this.refresh();
    if (ofLift(this.record).trials.pending.length) this.fold();
    else if (!this.model.candidates.length && example) this.#client.ask("verdict", example);
    else this.#client.ask("verdict", this.#request("sets/verdict"));
  }

  /** @param {Core.Verdict | Core.Refused} response @param {Core.SetsRequest} asked */
  async #onJudged(response, { of, example: invented }) {
    if (invented && response.ok && !this.model.candidates.length) return this.#example(response);
    if (of !== this.record.id) return;
    if (!response.ok) return tellTrouble(response.errors[0]);
    this.verdict = response;
    this.rows = rowsOf(response);
    if (this.model.candidates.length) this.#judged(response);
  }
}

/** @param {Core.Folded} answer @returns {{ [number: number]: Core.SetRow }} */
const rowsOf = ({ rows }) => Object.fromEntries(rows.map((row) => [row.number, row]));
