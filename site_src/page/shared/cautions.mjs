// The cautions at a screen's end: in full where they are first met, one line with the way to them where they were read.

import { PAGES } from "../../lifts.mjs";
import { byId, findAll } from "./find.mjs";
import { LIFT } from "./lift.mjs";
import { ofLift } from "./record.mjs";
import * as store from "./store.mjs";

const panel = byId("cautions");
const again = byId("read-again");

/** @param {boolean} folded on the screen; paper has them always */
function fold(folded) {
  panel.toggleAttribute("data-folded", folded);
  again.setAttribute("aria-expanded", String(!folded));
}

/** @param {boolean} read whether whoever's turn it is has read those of this lift */
export function foldCautions(read) {
  if (again.hidden === !read) return; // a person may have opened them meanwhile
  again.hidden = !read;
  fold(read && location.hash !== "#cautions");
}

/** Folds them for whoever's turn it is; a way to them opens them. */
export async function listenToCautions() {
  again.addEventListener("click", () => fold(!panel.hasAttribute("data-folded")));
  for (const link of findAll(document, 'a[href="#cautions"]')) link.addEventListener("click", () => fold(false), { capture: true });
  addEventListener("hashchange", () => { if (location.hash === "#cautions") fold(false); });
  const record = await store.read(await store.current()).catch(() => null);
  const lifts = panel.querySelector("[data-of-lift]") ? [LIFT] : Object.keys(PAGES);
  if (record) foldCautions(lifts.every((lift) => ofLift(record, lift).cautions_read));
}
