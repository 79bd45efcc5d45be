// The link that holds the whole setup: handed to another app, copied, or drawn as a QR code on this device.

import { say } from "../words.mjs";

const QUIET_ZONE = 4; // modules, ISO/IEC 18004
const section = document.querySelector("#hand-over");
const box = section.querySelector("#link");
const text = section.querySelector("#link-text");
const qr = section.querySelector("#qr");
const said = section.querySelector("#hand-said");

export function tell(message) {
  said.textContent = message;
}

export function linkOf(fragment) {
  return `${location.origin}${location.pathname}#${fragment}`;
}

function qrDrawing(code) {
  const side = code.size + 2 * QUIET_ZONE;
  let path = "";
  for (let y = 0; y < code.size; y += 1) {
    for (let x = 0; x < code.size; x += 1) {
      if (code.get(x, y)) path += `M${x + QUIET_ZONE} ${y + QUIET_ZONE}h1v1h-1z`;
    }
  }
  const svg = document.createElementNS("http://www.w3.org/2000/svg", "svg");
  svg.setAttribute("viewBox", `0 0 ${side} ${side}`);
  svg.setAttribute("aria-hidden", "true");
  const dark = document.createElementNS(svg.namespaceURI, "path");
  dark.setAttribute("d", path);
  svg.append(dark);
  return svg;
}

/** Shows link and QR code of a fragment. */
export async function showLink(fragment) {
  const link = linkOf(fragment);
  const { generate } = await import("./qr.mjs");
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

/** The system's own share sheet where there is one, else the clipboard. */
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
    if (error.name !== "AbortError") await copy(link); // put away by the person: nothing to say
  }
}
