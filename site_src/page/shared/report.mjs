// What a developer needs of a fault: on the console, and to copy from the screen. It holds nothing that was typed.

import { say } from "../../words.mjs";
import { find } from "./find.mjs";
import { copy } from "./hand-over.mjs";

const NAME = /^[a-z][a-z0-9_]*$/; // so the parts of a request are named

/** Of what is filled in. @param {unknown} part */
const namesIn = (part) => Object.entries(part ?? {}).flatMap(([name, value]) => (NAME.test(name) && value !== "" ? [name] : [])).join(", ");

/** @param {Wire.Report} report @param {{ kind: string, request: unknown }} [asked] */
export function reportText({ kind, where }, asked) {
  const built = find(document, "footer > p:last-child").textContent.trim().replace(/\s+/g, " ");
  const request = /** @type {{ want?: unknown, fields?: unknown }} */ (asked?.request ?? {});
  return [
    `${built}, ${location.pathname.split("/").at(-1) || "index.html"}`, // what follows # may be a lifter's numbers
    kind,
    ...where.map((place) => `  ${place}`),
    ...(asked ? [`asked: ${request.want ?? asked.kind} (${namesIn(request)})`, `fields: ${namesIn(request.fields)}`] : []),
    navigator.userAgent,
  ].join("\n");
}

/** Says it on the console, and lets `box` give it away: nobody copies what is not seen. @param {HTMLElement} box @param {string} text */
export function offerReport(box, text) {
  console.error(text);
  const shown = find(box, '[data-part="report"]');
  const said = find(box, '[data-part="copied"]');
  shown.textContent = text;
  shown.hidden = true;
  said.textContent = "";
  find(box, ".copy-report", HTMLButtonElement).onclick = async () => {
    shown.hidden = false;
    const copied = await copy(text);
    if (!copied) getSelection()?.selectAllChildren(shown);
    said.textContent = say(copied ? "report_copied" : "report_not_copied");
  };
}
