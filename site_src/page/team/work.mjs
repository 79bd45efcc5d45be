// Rows worked out a few at a time, so that the page says how far it is and Stop is heard.

import { say } from "../../words.mjs";
import { byId } from "../shared/find.mjs";
import { TWICE_MS } from "../shared/press.mjs";
import { fittable, sheet, tell, waiting } from "./sheet.mjs";

const BATCH_MS = 500; // what one question may take: then the screen says how far it is, and Stop is heard
const MOST_AT_ONCE = 20; // rows, as in the core
const fit = byId("fit");
const stop = byId("stop");
const done = byId("done", HTMLProgressElement);

/**
 * @typedef {{ size: number, since: number, before: number, asked: number }} Running
 * @typedef {object} Hooks
 * @property {(rows: Pick<Core.SheetRow, "row" | "name" | "request">[]) => void} ask
 * @property {() => void} drop
 * @property {() => void} onStart
 * @property {() => void} onDone no row is left
 * @property {() => void} onStop
 */

export class Work {
  /** @type {Running | null} */
  #running = null;
  #hooks;

  /** @param {Hooks} hooks */
  constructor(hooks) {
    this.#hooks = hooks;
    fit.addEventListener("click", () => this.#start());
    stop.addEventListener("click", () => {
      if (this.#running && performance.now() - this.#running.since < TWICE_MS) return; // it stands where “Fit” was
      this.halt();
      hooks.onStop();
    });
  }

  #start() {
    const since = performance.now();
    this.#running = { size: 1, since, asked: since, before: Object.keys(sheet.got).length };
    fit.hidden = true;
    stop.hidden = false;
    done.hidden = false;
    this.#hooks.onStart();
    this.#showProgress();
    this.#next();
  }

  #next() {
    if (!this.#running) return;
    const rows = waiting().slice(0, this.#running.size).map(({ row, name, request }) => ({ row, name, request }));
    if (rows.length) {
      this.#running.asked = performance.now();
      this.#hooks.ask(rows);
    } else {
      this.halt();
      this.#hooks.onDone();
    }
  }

  /** @param {Core.RowResult[]} results */
  take(results) {
    if (!this.#running) return;
    for (const one of results) sheet.got[one.row] = one;
    const each = (performance.now() - this.#running.asked) / results.length;
    this.#running.size = Math.max(1, Math.min(MOST_AT_ONCE, Math.round(BATCH_MS / each)));
    this.#showProgress();
    this.#next();
  }

  get runs() {
    return this.#running !== null;
  }

  #showProgress() {
    if (!this.#running) return;
    const all = fittable().length;
    const count = Object.keys(sheet.got).length;
    done.value = count / all;
    const lately = count - this.#running.before;
    const left = lately ? Math.round(((performance.now() - this.#running.since) / lately / 1000) * (all - count)) : 0;
    tell("fit-said", left > 2 ? say("team_progress_left", count, all, left) : say("team_progress", count, all));
  }

  /** Ends the work, if there is any; what is done stays. */
  halt() {
    this.#hooks.drop();
    this.#running = null;
    stop.hidden = true;
    done.hidden = true;
  }
}
