// Talks to the Python worker: numbered requests, the newest wins, restart by hand.

const LOST = {
  code: "worker_lost",
  message: "The calculator could not be started or stopped by itself.",
  remedy: "Check the connection, then try again.",
};

export class WorkerClient {
  #url;
  #onState;
  #onResponse;
  #worker = null;
  #newest = { id: 0, request: null }; // request stays until it is answered

  constructor(url, { onState, onResponse }) {
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
      if (worker === this.#worker) this.#fail(LOST);
    });
    if (this.#newest.request !== null) worker.postMessage(this.#newest);
  }

  ask(request) {
    this.#newest = { id: this.#newest.id + 1, request };
    this.#worker?.postMessage(this.#newest);
  }

  get waiting() {
    return this.#newest.request !== null;
  }

  #take(data) {
    if (data.state === "failed") this.#fail(data.cause);
    else if (data.state) this.#onState(data);
    else if (data.id === this.#newest.id && this.waiting) {
      this.#newest = { ...this.#newest, request: null };
      this.#onResponse(JSON.parse(data.response));
    }
  }

  /** Terminal until start() is called again; only the first cause is told. */
  #fail(cause) {
    this.#worker.terminate();
    this.#worker = null;
    this.#onState({ state: "failed", cause });
  }
}
