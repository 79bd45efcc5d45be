// The link that holds the whole setup: handed to another app, copied, or drawn as a QR code on this device.

import { say } from "../../words.mjs";
import { byId, find } from "../shared/find.mjs";
import { copy, share } from "../shared/hand-over.mjs";
import { qrDrawing } from "../shared/qr-drawing.mjs";

const section = byId("hand-over");
const box = find(section, "#link");
const text = find(section, "#link-text", HTMLInputElement);
const qr = find(section, "#qr");
const said = find(section, "#hand-said");

/** @param {string} message */
export function tell(message) {
  said.textContent = message;
}

/** @param {string} fragment */
export function linkOf(fragment) {
  return `${location.origin}${location.pathname}#${fragment}`;
}

/** Shows link and QR code of a fragment. @param {string} fragment */
export async function showLink(fragment) {
  const link = linkOf(fragment);
  const { generate } = await import("../shared/qr.mjs");
  text.value = link;
  qr.replaceChildren(qrDrawing(generate(link)));
  box.hidden = false;
}

export function hideLink() {
  box.hidden = true;
  text.value = "";
  qr.replaceChildren();
  tell("");
}

/** @param {string} link */
async function copyLink(link) {
  const copied = await copy(link);
  tell(say(copied ? "copied" : "not_copied"));
  if (copied) return;
  text.focus();
  text.select();
}

/** The system's own share sheet where there is one, else the clipboard. @param {string} fragment */
export async function handOver(fragment) {
  const link = linkOf(fragment);
  const shown = showLink(fragment);
  if (!navigator.share) {
    await shown;
    return copyLink(link);
  }
  const { how, why } = await share({ title: document.title, url: link });
  if (how) tell(say("shared"));
  else if (why) await copyLink(link); // put away by the person: nothing to say
  return undefined;
}
