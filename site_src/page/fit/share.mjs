// The link that holds the whole setup: handed to another app, copied, or drawn as a QR code on this device.

import { say } from "../../words.mjs";
import { makeSvg } from "../shared/element.mjs";
import { nameOf } from "../shared/errors.mjs";
import { byId, find } from "../shared/find.mjs";

const QUIET_ZONE = 4; // modules, ISO/IEC 18004
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

/** @param {{ size: number, get(x: number, y: number): boolean }} code */
function qrDrawing(code) {
  const side = code.size + 2 * QUIET_ZONE;
  let path = "";
  for (let y = 0; y < code.size; y += 1) {
    for (let x = 0; x < code.size; x += 1) {
      if (code.get(x, y)) path += `M${x + QUIET_ZONE} ${y + QUIET_ZONE}h1v1h-1z`;
    }
  }
  return makeSvg("svg", { viewBox: `0 0 ${side} ${side}`, "aria-hidden": "true" }, makeSvg("path", { d: path }));
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
async function copy(link) {
  try {
    await navigator.clipboard.writeText(link);
    tell(say("copied"));
  } catch {
    tell(say("not_copied"));
    text.focus();
    text.select();
  }
}

/** The system's own share sheet where there is one, else the clipboard. @param {string} fragment */
export async function handOver(fragment) {
  const link = linkOf(fragment);
  const shown = showLink(fragment);
  if (!navigator.share) {
    await shown;
    await copy(link);
    return;
  }
  try {
    await navigator.share({ title: document.title, url: link });
    tell(say("shared"));
  } catch (error) {
    if (nameOf(error) !== "AbortError") await copy(link); // put away by the person: nothing to say
  }
}
