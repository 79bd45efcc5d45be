// The one line that says how far the calculator is, the tape that is pulled out meanwhile, and the trouble box.

import { say } from "../../words.mjs";
import { byId, find } from "./find.mjs";
import { still } from "./press.mjs";
import { offerReport, reportText } from "./report.mjs";

const megabytes = (/** @type {number} */ bytes) => (bytes / 1e6).toFixed(1);

export class Loading {
  #line = byId("loading");
  #pull = byId("pull", HTMLProgressElement);
  #trouble = byId("trouble");
  #offline = false;
  #ready = false;

  /** @param {() => void} tryAgain */
  constructor(tryAgain) {
    find(this.#trouble, "#retry").addEventListener("click", tryAgain);
  }

  /** @param {Wire.State} message */
  show(message) {
    const { state } = message;
    this.#ready = state === "ready";
    document.documentElement.dataset.calculator = state;
    if (message.state === "fetching") {
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
    still().then(() => this.#showTrouble(message.state === "failed" ? message.cause : null));
  }

  /** Said only after every file was verified to be on the device. */
  offlineIsComplete() {
    this.#offline = true;
    if (this.#ready) this.#showReady();
  }

  #showReady() {
    this.#line.textContent = say(this.#offline ? "ready_offline" : "ready");
  }

  /** @param {Wire.Cause | null} cause */
  #showTrouble(cause) {
    this.#trouble.hidden = !cause;
    if (!cause) return;
    find(this.#trouble, '[data-part="message"]').textContent = cause.message;
    find(this.#trouble, '[data-part="remedy"]').textContent = cause.remedy;
    offerReport(this.#trouble, reportText(cause.report));
  }
}
