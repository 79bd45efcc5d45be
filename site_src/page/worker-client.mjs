// Talks to the Python worker: one question at a time, the newest of each kind, the most urgent kind first.

import { say } from "../words.mjs";
import { still } from "./press.mjs";

export class WorkerClient {
  #kinds;
  #url;
  #onState;
  #onResponse;
  #worker = null;
  #asked = null; // the question the worker has: {id, kind, request}
  #waiting = new Map(); // kind → request
  #arrived = new Set(); // answers that wait until no button is pressed: {kind, request}
  #lastId = 0;

  /** `kinds`, the most urgent first; `onResponse(kind, response, request)`: a question that a newer one of its kind has replaced gets none. */
  constructor(url, { kinds, onState, onResponse }) {
    this.#kinds = kinds;
    this.#url = url;
    this.#onState = onState;
    this.#onResponse = onResponse;
  }

  start() {
    this.#worker?.terminate();
    const worker = new Worker(this.#url, { type: "module" });
    this.#worker = worker;
    worker.addEventListener("message", ({ data }) => {
      if (worker === this.#worker) this.#take(data);
    });
    worker.addEventListener("error", (event) => {
      event.preventDefault();
      if (worker === this.#worker) this.#fail({ code: "worker_lost", message: say("lost"), remedy: say("lost_remedy") });
    });
    const { kind, request } = this.#asked ?? {};
    this.#asked = null;
    if (kind && !this.#waiting.has(kind)) this.#waiting.set(kind, request); // the one that a stopped worker still owed
    this.#next();
  }

  ask(kind, request) {
    this.#waiting.set(kind, request);
    this.#next();
  }

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
    this.#asked = { id: ++this.#lastId, kind, request: this.#waiting.get(kind) };
    this.#waiting.delete(kind);
    this.#worker.postMessage({ id: this.#asked.id, request: JSON.stringify(this.#asked.request) });
  }

  #take(data) {
    if (data.state === "failed") this.#fail(data.cause);
    else if (data.state) this.#onState(data);
    else if (data.id === this.#asked?.id) {
      const asked = this.#asked;
      this.#asked = null;
      this.#next(); // the worker goes on while the page lays out the answer
      this.#hand(asked, data.response);
    }
  }

  async #hand(asked, response) {
    this.#arrived.add(asked);
    await still();
    this.#arrived.delete(asked);
    const { kind, request } = asked;
    if (kind && !this.#waiting.has(kind) && this.#asked?.kind !== kind) this.#onResponse(kind, JSON.parse(response), request);
  }

  /** Terminal until start() is called again; only the first cause is told. */
  #fail(cause) {
    this.#worker.terminate();
    this.#worker = null;
    this.#onState({ state: "failed", cause });
  }
}
