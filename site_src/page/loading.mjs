// The one line that says how far the calculator is, the tape that is pulled out meanwhile, and the trouble box.

import { say } from "../words.mjs";
import { still } from "./press.mjs";

const megabytes = (bytes) => (bytes / 1e6).toFixed(1);

export class Loading {
  #line = document.querySelector("#loading");
  #pull = document.querySelector("#pull");
  #trouble = document.querySelector("#trouble");
  #offline = false;
  #ready = false;

  constructor(tryAgain) {
    this.#trouble.querySelector("#retry").addEventListener("click", tryAgain);
  }

  show(message) {
    const { state } = message;
    this.#ready = state === "ready";
    document.documentElement.dataset.calculator = state;
    if (state === "fetching") {
      this.#line.textContent = say("fetching", megabytes(message.done), megabytes(message.total));
      this.#pull.value = message.total ? (0.9 * message.done) / message.total : 0;
    } else if (state === "waking") {
      this.#line.textContent = say("waking");
      this.#pull.value = 0.9;
    } else if (state === "ready") {
      this.#pull.value = 1;
      this.#showReady();
    } else if (state === "failed") {
      this.#line.textContent = say("not_running");
      this.#pull.value = 0;
    }
    still().then(() => this.#showTrouble(state === "failed" ? message.cause : null));
  }

  /** Said only after every file was verified to be on the device. */
  offlineIsComplete() {
    this.#offline = true;
    if (this.#ready) this.#showReady();
  }

  #showReady() {
    this.#line.textContent = say(this.#offline ? "ready_offline" : "ready");
  }

  #showTrouble(cause) {
    this.#trouble.hidden = !cause;
    if (!cause) return;
    this.#trouble.querySelector('[data-part="message"]').textContent = cause.message;
    this.#trouble.querySelector('[data-part="remedy"]').textContent = cause.remedy;
  }
}
