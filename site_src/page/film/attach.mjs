// Keeps measured numbers with a set that was logged on the Sets screen. The clip is no part of it.

import { say } from "../../words.mjs";
import { byId } from "../shared/find.mjs";
import { LIFT, ofLift, today } from "../shared/record.mjs";
import * as store from "../shared/store.mjs";

const MOST_SPEEDS = 100;
const margin = (/** @type {Core.Interval} */ { value, low, high }) => Math.max(high - value, value - low);
const mean = (/** @type {number[]} */ values) => values.reduce((sum, value) => sum + value, 0) / values.length;

/** What a set keeps of an answer: the means over its whole reps (m, of a ratio as it is), the speed of each; null where there is nothing to keep. @param {Pick<Core.Measured, "reps" | "lost">} answer */
export function measuredOf({ reps, lost }) {
  const whole = reps.filter(({ complete }) => complete);
  /** @type {Kept.Measured} */
  const found = {};
  const numbers = (whole.length ? whole : reps).flatMap((rep) => rep.numbers);
  /** @param {Kept.Measurable} name @param {(one: Core.FilmNumber) => number} read */
  const values = (name, read) => numbers.filter(({ kept }) => kept === name).map(read).filter(Number.isFinite);
  for (const name of new Set(numbers.flatMap(({ kept }) => kept ?? []))) {
    const seen = values(name, ({ value_m, value_times }) => value_m ?? value_times ?? NaN);
    if (seen.length) found[name] = mean(seen);
  }
  const off = values("touch_m", ({ value_m: value = NaN, plan_m: plan }) => value - (plan ?? NaN));
  const margins = values("touch_m", ({ value_m: value = NaN, low_m: low = NaN, high_m: high = NaN }) => Math.max(high - value, value - low));
  if (off.length) Object.assign(found, { off_plan_m: mean(off), off_plan_margin_m: mean(margins) });
  const speeds = (whole.length ? whole : reps).flatMap(({ speed }) => (speed ? [speed.mean_m_s] : [])).slice(0, MOST_SPEEDS);
  if (speeds.length) Object.assign(found, { speeds_m_s: speeds.map(({ value }) => value), speed_margin_m_s: Math.max(...speeds.map(margin)) });
  if (lost) Object.assign(found, { lost: lost.value, lost_margin: margin(lost) });
  return Object.keys(found).length ? found : null;
}

export class Attach {
  #client;
  #set = byId("set", HTMLSelectElement);
  /** @type {Kept.Measured | null} */
  #measured = null;
  /** @type {Kept.Lifter | null} */
  #record = null;

  /** @param {import("../shared/worker-client.mjs").WorkerClient<Core.FilmQuestions>} client */
  constructor(client) {
    this.#client = client;
    byId("attach-now").addEventListener("click", () => this.#keep());
  }

  /** Offers to keep an answer with a set of that lifter; null: nothing to keep. @param {Core.Measured | null} answer @param {Kept.Lifter | null} record */
  show(answer, record) {
    this.#measured = answer && measuredOf(answer);
    this.#record = record;
    byId("attach").hidden = !this.#measured;
    byId("attach-said").textContent = "";
    if (this.#measured) this.#ask();
  }

  #ask() {
    if (!this.#record) return;
    const { log, pending } = ofLift(this.#record).trials;
    this.#client.ask("sets", { want: "sets/fold", lift: LIFT, log, pending, unit: "kg", date: today() });
  }

  /** The sets there are, the last one first. @param {Core.Folded | Core.Refused} answer */
  onSets(answer) {
    const { ok } = answer;
    const { rows, candidates } = answer.ok ? answer : { rows: [], candidates: [] };
    byId("attach-form").hidden = !ok || !rows.length;
    byId("attach-none").hidden = ok && rows.length > 0;
    const chosen = this.#set.value;
    this.#set.replaceChildren(...rows.toReversed().map(({ number, date, candidate, load, reps, film }) => {
      const { label = candidate } = candidates.find(({ key }) => key === candidate) ?? {};
      const text = say(film ? "film_set_filmed" : "film_set_row", number, date, load, reps, label);
      return new Option(text, String(number), false, String(number) === chosen);
    }));
  }

  async #keep() {
    const number = Number(this.#set.value);
    const said = byId("attach-said");
    if (!this.#record || !this.#measured) return;
    try {
      this.#record = await store.addChange(this.#record.id, { what: "attach_film", at: new Date().toISOString(), number, measured: this.#measured });
    } catch (error) {
      const { message, remedy } = store.asTrouble(error);
      said.dataset.kind = "error";
      said.textContent = `${message} ${remedy}`;
      return;
    }
    said.dataset.kind = "note";
    said.textContent = say("film_attached", number);
    this.#ask();
  }
}
