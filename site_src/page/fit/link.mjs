// Links: the one that stands in the address, one that came with it, and the one that is handed over.

import { UNNAMED } from "../../lifts.mjs";
import { say } from "../../words.mjs";
import { byId } from "../shared/find.mjs";
import { LIFT, pageOf } from "../shared/lift.mjs";
import { sentences } from "../shared/said.mjs";
import { fragmentHere, hideNotice, holds, notice } from "./received.mjs";
import { handOver, showLink, tell } from "./share.mjs";
import { mark } from "./way-back.mjs";

/**
 * @typedef {object} Hooks
 * @property {(fragment: string) => void} ask what a fragment holds
 * @property {() => string} fragment of what is on the screen
 * @property {() => boolean} mayOpen whether nothing is lost by it
 * @property {() => void} onPutAway
 * @property {(request: Core.FitRequest, more: { choice: Kept.Choice | null, preference: number | null }) => Promise<void>} open
 * @property {(id: string) => Promise<boolean>} isKept whether a lifter is kept on this device
 * @property {(id: string) => Promise<void>} openKept
 * @property {() => void} onShared
 */

export class Links {
  #arriving = ""; // the fragment of a link that waits to be opened
  #seen = ""; // the fragment in the address that was looked at
  #session;
  #hooks;

  /** @param {import("./person.mjs").Session} session @param {Hooks} hooks */
  constructor(session, hooks) {
    this.#session = session;
    this.#hooks = hooks;
    byId("share").addEventListener("click", () => {
      const fragment = hooks.fragment();
      if (!fragment) return tell(say("no_setup"));
      session.shared = fragment;
      history.replaceState(history.state, "", `#${fragment}`);
      this.tidy();
      hooks.onShared();
      handOver(fragment);
    });
    byId("print").addEventListener("click", async () => {
      const fragment = hooks.fragment();
      if (fragment) await showLink(fragment);
      print();
    });
    addEventListener("hashchange", () => {
      this.look();
      this.tidy();
    });
  }

  /** A link stands in the address only while it waits to be opened, or holds just what is on the screen. */
  tidy() {
    if (fragmentHere() !== this.#seen) this.look(); // a timer may come before the browser tells of it
    mark({ fragment: [this.#arriving, this.#session.shared].includes(fragmentHere()) });
    this.#seen = fragmentHere();
  }

  look() {
    const fragment = fragmentHere();
    this.#seen = fragment;
    if (!fragment || fragment === this.#session.shared) return;
    this.#arriving = fragment;
    notice(say("received_wait"));
    this.#hooks.ask(fragment);
  }

  /** The next lifter: none waits any more. */
  forget() {
    this.#arriving = "";
  }

  /** It is on the screen now, or nobody wants it. */
  putAway() {
    this.#arriving = "";
    hideNotice();
    this.tidy();
    this.#hooks.onPutAway();
  }

  /** What the link holds is shown at once, with a way back, and the lifter himself where he is kept here; where that would cost something typed it waits for a tap. @param {Core.Opened | Core.Refused} response */
  async take(response) {
    const onLeave = () => this.putAway();
    if (!response.ok) {
      const [{ message, remedy }] = response.errors;
      this.#arriving = "";
      this.tidy();
      notice(sentences(message, say("received_bad"), remedy), { onLeave });
      return;
    }
    const { choice = null, preference = null, lift = UNNAMED, who = "", ...request } = response.request;
    if (lift !== LIFT) return location.replace(pageOf(lift) + location.hash); // it opens on its own lift's page
    const isKept = await this.#hooks.isKept(String(who));
    const onShow = () => (isKept ? this.#hooks.openKept(String(who)) : this.#hooks.open(request, { choice, preference }));
    if (this.#hooks.mayOpen()) onShow();
    else notice(holds(request), { onShow, onLeave });
  }
}
