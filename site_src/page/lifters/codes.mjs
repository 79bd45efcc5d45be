// Lifters handed to another device by a chain of codes: shown here one after the other, and taken in where the camera opens them.

import { say } from "../../words.mjs";
import { MOST_CODES, fromChain, linkIn, toChain } from "../shared/chain.mjs";
import { nameOf } from "../shared/errors.mjs";
import { filesOf } from "../shared/file.mjs";
import { byId, find } from "../shared/find.mjs";
import { qrDrawing } from "../shared/qr-drawing.mjs";
import * as store from "../shared/store.mjs";

const CHAIN = "chain"; // of the device: what came of a chain so far
const box = byId("codes");
/** @type {string[]} */
let links = [];
let at = 0;

async function show() {
  const { generate } = await import("../shared/qr.mjs");
  byId("codes-place").textContent = say("codes_place", at + 1, links.length);
  const drawn = qrDrawing(generate(links[at]));
  const code = find(box, ".qr");
  code.replaceChildren(drawn);
  code.dataset.link = links[at];
  byId("codes-back", HTMLButtonElement).disabled = at === 0;
  byId("codes-on", HTMLButtonElement).disabled = at === links.length - 1;
}

/** Shows these lifters as codes; what went wrong, in words. @param {Kept.Lifter[]} records */
export async function showCodes(records) {
  box.hidden = true;
  try {
    const files = filesOf(records);
    const chain = files.length > 1 ? [] : await toChain(JSON.stringify(JSON.parse(await files[0].text())));
    if (!chain.length || chain.length > MOST_CODES) return say("codes_many", MOST_CODES);
    links = chain.map((fragment) => new URL(`lifters.html#${fragment}`, location.href).href);
  } catch (error) {
    return say("codes_not_made", nameOf(error));
  }
  at = 0;
  await show();
  box.hidden = false;
  box.scrollIntoView({ block: "nearest" });
  await store.exported(records, false).catch(() => {}); // whoever scans them has heard of these
  return "";
}

/**
 * Takes in what the address holds of a chain. `said(text, wrong)` tells, `open(name, text)` has the whole looked through.
 * @param {{ said: (text: string, wrong?: string) => void, open: (name: string, text: string) => void }} hooks
 */
export function listenToCodes({ said, open }) {
  byId("codes-back").addEventListener("click", () => {
    at -= 1;
    show();
  });
  byId("codes-on").addEventListener("click", () => {
    at += 1;
    show();
  });
  byId("codes-close").addEventListener("click", () => { box.hidden = true; });

  async function takeIn() {
    if (!location.hash.startsWith("#f=")) return;
    const link = linkIn(location.hash);
    history.replaceState(history.state, "", location.pathname + location.search);
    byId("file-panel").scrollIntoView();
    if (!link) return said("", say("codes_bad"));
    const { id, at: place, count, data } = link;
    const before = /** @type {{ id: string, parts: { [place: number]: string } } | null} */ (await store.setting(CHAIN).catch(() => null));
    const parts = { ...(before?.id === id ? before.parts : {}), [place]: data };
    const missing = Array.from({ length: count }, (_, i) => i + 1).filter((one) => !(one in parts));
    if (missing.length) {
      await store.set(CHAIN, { id, parts });
      return said(say("codes_part", place, count, missing.join(", ")));
    }
    await store.set(CHAIN, null).catch(() => {});
    const text = await fromChain(id, Array.from({ length: count }, (_, i) => parts[i + 1]));
    if (text === null) return said("", say("codes_bad"));
    return open(say("codes_name"), text);
  }
  addEventListener("hashchange", takeIn);
  takeIn().catch((error) => said("", store.asTrouble(error).message));
}
