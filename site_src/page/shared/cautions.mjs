// The cautions at a screen's end: in full where they are first met, one line with the way to them where they were read.

import { byId, find, findAll } from "./find.mjs";
import { LIFT } from "./lift.mjs";
import { ofLift } from "./record.mjs";
import * as store from "./store.mjs";

const panel = () => find(byId("cautions"), "details", HTMLDetailsElement);

/** @param {boolean} read whether whoever's turn it is has read those of this lift */
export function foldCautions(read) {
  const line = find(panel(), '[data-part="read"]');
  if (line.hidden === !read) return; // a person may have opened them meanwhile
  line.hidden = !read;
  panel().open = !read || location.hash === "#cautions";
}

/** Folds them for whoever's turn it is; a way to them opens them, and so does printing. */
export async function listenToCautions() {
  for (const link of findAll(document, 'a[href="#cautions"]')) {
    link.addEventListener("click", () => { panel().open = true; }, { capture: true });
  }
  addEventListener("hashchange", () => { if (location.hash === "#cautions") panel().open = true; });
  addEventListener("beforeprint", () => { panel().open = true; });
  const record = await store.read(await store.current()).catch(() => null);
  if (record) foldCautions(ofLift(record, LIFT).cautions_read);
}
