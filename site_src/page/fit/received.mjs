// A setup that came with the link. It is only shown on its own when nothing has been typed here; else it waits for a tap.

import { say } from "../../words.mjs";
import { byId, find } from "../shared/find.mjs";

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

/** What the numbers of a received request are, in a line. @param {Core.FitRequest} request @param {(key: string) => string} labelOf */
export function inWords(request, labelOf) {
  const numbers = Object.entries(request.fields).map(([key, text]) => {
    return `${labelOf(key)} ${text}${/[a-z"'″]\s*$/i.test(text) ? "" : ` ${request.unit}`}`;
  });
  return say("received_holds", numbers.join(", "));
}
