// A setup that came with the link. It is only shown on its own when nothing has been typed here; else it waits for a tap.

import { say } from "../../words.mjs";
import { byId, find, findAll } from "../shared/find.mjs";
import { nameOf } from "../shared/names.mjs";
import { numberOf } from "../shared/parts.mjs";
import { listed } from "../shared/said.mjs";
import { Choice } from "./field.mjs";

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

/** What a received request holds, in a line: its numbers, and the choices that are not the usual ones. @param {Core.FitRequest} request */
export function holds({ fields, unit, ...more }) {
  const numbers = Object.entries(fields).map(([key, text]) => say("named", nameOf(key), numberOf(key, text, unit)));
  const chosen = findAll(document, "[data-choice-of]").map((one) => new Choice(one)).filter((one) => one.has(more[one.key]));
  const marks = chosen.map((one) => say("labelled", nameOf(one.key), nameOf(`${one.key}/${more[one.key]}`)));
  return say("received_holds", listed([...numbers, ...marks]));
}
