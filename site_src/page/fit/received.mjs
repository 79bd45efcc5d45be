// A setup that came with the link. It is only shown on its own when nothing has been typed here; else it waits for a tap.

import { say } from "../../words.mjs";
import { byId, find } from "../shared/find.mjs";
import { nameOf } from "../shared/names.mjs";
import { numberOf } from "../shared/parts.mjs";
import { listed } from "../shared/said.mjs";

const box = byId("received");
const message = find(box, '[data-part="message"]');
const show = find(box, "#received-show");
const leave = find(box, "#received-leave");

export function fragmentHere() {
  return location.hash.startsWith("#v=") || location.hash.includes("&k=") ? location.hash.slice(1) : "";
}

/**
 * Says `text`; with `onShow` it can be opened, with `onLeave` put away.
 * @param {string} text @param {{ onShow?: (() => void) | null, onLeave?: (() => void) | null }} ways
 */
export function notice(text, { onShow = null, onLeave = null } = {}) {
  message.textContent = text;
  show.hidden = !onShow;
  leave.hidden = !onLeave;
  show.onclick = onShow;
  leave.onclick = onLeave;
  box.hidden = false;
}

export function hideNotice() {
  box.hidden = true;
  message.textContent = "";
}

/** What the numbers of a received request are, in a line. @param {Core.FitRequest} request */
export function holds({ fields, unit }) {
  return say("received_holds", listed(Object.entries(fields).map(([key, text]) => say("named", nameOf(key), numberOf(key, text, unit)))));
}
