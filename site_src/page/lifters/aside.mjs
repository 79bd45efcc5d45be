// What is put aside: lifters who were deleted, records that are damaged; and “Undo”.

import { say } from "../../words.mjs";
import { button, fillList, make } from "../shared/element.mjs";
import { rawFile, saveFiles } from "../shared/file.mjs";
import { byId, find } from "../shared/find.mjs";
import * as store from "../shared/store.mjs";

const undo = byId("undo");
/** @type {Kept.Lifter | null} */
let undone = null; // the lifter that “Undo” takes back
/** @type {Hooks} */
let hooks;

/**
 * @typedef {object} Hooks
 * @property {<T>(promise: Promise<T>) => Promise<T | null | undefined>} tried
 * @property {() => Promise<void>} refresh
 * @property {(back: Kept.Lifter) => void} onBack
 */

/** @param {Hooks} given */
export function listenToAside(given) {
  hooks = given;
  find(undo, "button").addEventListener("click", () => { if (undone) takeBack(undone); });
}

/** @param {Kept.Lifter} gone */
export function offerUndo(gone) {
  undone = gone;
  find(undo, "p").textContent = say("lifters_deleted", gone.name);
  undo.hidden = false;
}

/** @param {Kept.Lifter} record */
async function takeBack(record) {
  const back = await hooks.tried(store.restore(record));
  if (!back) return;
  undo.hidden = true;
  await hooks.refresh();
  hooks.onBack(back);
}

/** A button that says what it does, and does it at the second tap. @param {string} text @param {string} sure @param {() => void} act */
function sureButton(text, sure, act) {
  const made = button(text, () => {
    if (made.textContent === sure) act();
    else made.textContent = sure;
  });
  return made;
}

export async function showDeleted() {
  const found = (await hooks.tried(store.deleted())) ?? [];
  byId("deleted").hidden = !found.length;
  fillList(find(byId("deleted"), "ul"), found, ({ id, record, deleted }) => {
    const back = button(say("lifters_take_back"), () => takeBack(record));
    const gone = sureButton(say("lifters_erase"), say("lifters_erase_sure"), async () => {
      await hooks.tried(store.erase(id));
      if (undone?.id === id) undo.hidden = true;
      await hooks.refresh();
    });
    return make("li", make("strong", record.name), make("span", say("lifters_deleted_on", new Date(deleted).toLocaleDateString())), back, gone);
  });
}

/** @param {unknown} raw what may be anything */
const nameIn = (raw) => (typeof raw === "object" && raw && "name" in raw && typeof raw.name === "string" ? raw.name : "");

export async function showDamaged() {
  const found = (await hooks.tried(store.damaged())) ?? [];
  byId("damaged").hidden = !found.length;
  fillList(find(byId("damaged"), "ul"), found, ({ key, id, raw, fault, found: when }) => {
    const keep = button(say("lifters_damaged_save"), () => {
      byId("file-said").textContent = saveFiles([rawFile([{ id, raw, fault, found: when }])]);
    });
    const drop = sureButton(say("lifters_damaged_drop"), say("lifters_erase_sure"), async () => {
      await hooks.tried(store.dropDamaged(key));
      await hooks.refresh();
    });
    const name = nameIn(raw) || id;
    return make("li", make("span", say("lifters_damaged_one", name, fault ?? "", new Date(when).toLocaleDateString())), keep, drop);
  });
}
