// The rest clock: it holds the instant the last set was logged, no counter, so a locked screen or a reload does not stop it.

const LONGEST_MS = 60 * 60 * 1000; // longer is no rest any more

export class RestClock {
  #place;
  /** @type {number | null} */
  #since = null;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #ticking;

  /** @param {HTMLElement} place a <time> */
  constructor(place) {
    this.#place = place;
    document.addEventListener("visibilitychange", () => this.#tick());
  }

  /** @param {string | null} instant ISO time, or null for none */
  since(instant) {
    this.#since = instant ? Date.parse(instant) : null;
    this.#tick();
  }

  #tick() {
    clearTimeout(this.#ticking);
    const rested = this.#since === null ? NaN : Date.now() - this.#since;
    if (!(rested >= 0 && rested < LONGEST_MS)) {
      this.#place.textContent = "–";
      this.#place.removeAttribute("datetime");
      return;
    }
    const seconds = Math.floor(rested / 1000);
    this.#place.textContent = `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;
    this.#place.setAttribute("datetime", `PT${seconds}S`);
    if (document.visibilityState === "visible") this.#ticking = setTimeout(() => this.#tick(), 1000 - (rested % 1000));
  }
}
