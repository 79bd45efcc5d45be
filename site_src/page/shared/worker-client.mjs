// Talks to the Python worker: one question at a time, the newest of each kind, the most urgent kind first.

import { UNNAMED } from "../../lifts.mjs";
import { say } from "../../words.mjs";
import { LIFT } from "./lift.mjs";
import { still } from "./press.mjs";

/** @param {Wire.Sentence} given @returns {string} */
const inWords = ({ said, parts }) => say(`worker_${said}`, ...parts.map((part) => (typeof part === "string" ? part : inWords(part))));

/** @template R @param {Wire.Failure<R>} failure @returns {Wire.Cause<R>} */
const causeOf = (failure) => ({ code: failure.code, message: inWords(failure), remedy: say(`worker_${failure.code}_remedy`), report: failure.report });

/** The answer where Python gave none. @param {Wire.Failure<Wire.Report | null>} failure @returns {Core.Refused} */
function refused(failure) {
  const { code, message, remedy, report } = causeOf(failure);
  return { ok: false, errors: [{ field: null, code, given: "", message, remedy }], warnings: [], reading: {}, ...(report && { report }) };
}

/** @template {Wire.Questions} Q @typedef {{ id: number, kind: keyof Q & string | null, request: Q[keyof Q & string]["request"] }} Asked */

/** @template {Wire.Questions} Q */
export class WorkerClient {
  #kinds;
  #url;
  #onState;
  #onResponse;
  #onFault;
  /** @type {Worker | null} */
  #worker = null;
  /** @type {Asked<Q> | null} */
  #asked = null; // the question the worker has
  /** @type {Map<keyof Q & string, Q[keyof Q & string]["request"]>} */
  #waiting = new Map();
  /** @type {Set<Asked<Q>>} */
  #arrived = new Set(); // answers that wait until no button is pressed
  #lastId = 0;

  /**
   * `kinds`, the most urgent first; `onResponse(kind, response, request)`: a question that a newer one of its kind has replaced gets none.
   * `onFault(report, kind, request)` comes before it: of an answer that could not be worked out, or null.
   * @param {URL} url @param {{ kinds: (keyof Q & string)[], onState: (message: Wire.State) => void, onResponse: Core.OnResponse<Q>,
   *   onFault: (report: Wire.Report | null, kind: string, request: unknown) => void }} settings
   */
  constructor(url, { kinds, onState, onResponse, onFault }) {
    this.#kinds = kinds;
    this.#url = url;
    this.#onState = onState;
    this.#onResponse = onResponse;
    this.#onFault = onFault;
  }

  start() {
    this.#worker?.terminate();
    const worker = new Worker(this.#url, { type: "module", name: LIFT === UNNAMED ? "" : LIFT });
    this.#worker = worker;
    worker.addEventListener("message", ({ data }) => {
      if (worker === this.#worker) this.#take(data);
    });
    worker.addEventListener("error", (event) => {
      event.preventDefault();
      const where = event.filename ? [`${event.filename.split("/").at(-1)}:${event.lineno}`] : []; // not what it says: that may hold what was typed
      if (worker === this.#worker) this.#fail({ code: "lost", said: "lost", parts: [], report: { kind: "worker_lost", where } });
    });
    const { kind, request } = this.#asked ?? {};
    this.#asked = null;
    if (kind && !this.#waiting.has(kind)) this.#waiting.set(kind, request); // the one that a stopped worker still owed
    this.#next();
  }

  /** @template {keyof Q & string} K @param {K} kind @param {Q[K]["request"]} request */
  ask(kind, request) {
    this.#waiting.set(kind, request);
    this.#next();
  }

  /** @param {(keyof Q & string)[]} kinds */
  drop(...kinds) {
    for (const kind of kinds) {
      this.#waiting.delete(kind);
      for (const one of [this.#asked, ...this.#arrived]) if (one?.kind === kind) one.kind = null; // it may finish, and nobody listens
    }
  }

  #next() {
    if (this.#asked || !this.#worker) return;
    const kind = this.#kinds.find((one) => this.#waiting.has(one));
    if (!kind) return;
    const asked = { id: ++this.#lastId, kind, request: this.#waiting.get(kind) };
    this.#asked = asked;
    this.#waiting.delete(kind);
    this.#worker.postMessage({ id: asked.id, request: JSON.stringify(asked.request) });
  }

  /** @param {Wire.FromPython} data */
  #take(data) {
    const asked = this.#asked;
    if (data.state === "failed") this.#fail(data.cause);
    else if (data.state) this.#onState(data);
    else if (asked && data.id === asked.id) {
      this.#asked = null;
      this.#next(); // the worker goes on while the page lays out the answer
      this.#hand(asked, data);
    }
  }

  /** @param {Asked<Q>} asked @param {Wire.Answered} answered */
  async #hand(asked, { response = "", failure }) {
    this.#arrived.add(asked);
    await still();
    this.#arrived.delete(asked);
    const { kind, request } = asked;
    if (!kind || this.#waiting.has(kind) || this.#asked?.kind === kind) return;
    const answer = failure ? refused(failure) : JSON.parse(response);
    this.#onFault(answer.report ?? null, kind, request);
    this.#onResponse(kind, answer, request);
  }

  /** Terminal until start() is called again; only the first cause is told. @param {Wire.Failure} failure */
  #fail(failure) {
    this.#worker?.terminate();
    this.#worker = null;
    this.#onState({ state: "failed", cause: causeOf(failure) });
  }
}
