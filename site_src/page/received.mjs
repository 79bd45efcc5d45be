// A setup that came with the link. It is only shown on its own when nothing has been typed here; else it waits for a tap.

import { say } from "../words.mjs";

const box = document.querySelector("#received");
const message = box.querySelector('[data-part="message"]');
const show = box.querySelector("#received-show");
const leave = box.querySelector("#received-leave");

export function fragmentHere() {
  return location.hash.startsWith("#v=") || location.hash.includes("&k=") ? location.hash.slice(1) : "";
}

/** Says `text`; with `onShow` it can be opened, with `onLeave` put away. */
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

/** What the numbers of a received request are, in a line. */
export function inWords(request, labelOf) {
  const numbers = Object.entries(request.fields).map(([key, text]) => {
    return `${labelOf(key)} ${text}${/[a-z"'″]\s*$/i.test(text) ? "" : ` ${request.unit}`}`;
  });
  return say("received_holds", numbers.join(", "));
}
