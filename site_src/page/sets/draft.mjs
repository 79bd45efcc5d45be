// The entry under way, the rest clock's instants and what was refused: kept by lifter at every tap, so that a reload or a
// crash loses none of it. A guest's stays in the tab, like the guest.

import { GUEST } from "../shared/record.mjs";
import { HERE, keepInTab, keptInTab } from "../shared/tab.mjs";

const NAME = "entries";
const OLDEST_MS = 7 * 24 * 60 * 60 * 1000;

/**
 * @typedef {{ number: number, values: Kept.Entry }} Edit a set that is being changed
 * @typedef {{ entry: Kept.Entry | null, edit?: Edit | null, rests: Kept.Texts, refused: Core.RefusedChange[], unit: Kept.MassUnit | null,
 *   goesOn?: boolean }} Draft `goesOn`: a set may be logged though the trial is at its end
 * @typedef {{ [id: string]: Draft & { created: string, kept: number } }} Drafts
 * @typedef {Pick<Kept.Lifter, "id" | "created">} Whose
 */

/** @type {Drafts} */
let memory = {}; // where the browser's storage is closed

/** @param {string} id @returns {Drafts} */
function everything(id) {
  if (id === GUEST) return keptInTab(NAME) ?? memory;
  try {
    return JSON.parse(localStorage.getItem(`${HERE}|${NAME}`) ?? "null") ?? {};
  } catch {
    return memory;
  }
}

/** @returns {Draft} */
const nothing = () => ({ entry: null, rests: {}, refused: [], unit: null });

/** {entry, rests: {number of a set: instant}, refused, unit} of a lifter; of this very record, by the time it was made. @param {Whose} record @returns {Draft} */
export function draftOf({ id, created }) {
  const found = everything(id)[id];
  return found?.created === created ? { ...nothing(), ...found } : nothing();
}

/** @param {Whose} record @param {Draft} draft */
export function keepDraft({ id, created }, draft) {
  const others = Object.entries(everything(id)).filter(([, one]) => Date.now() - one.kept < OLDEST_MS);
  memory = { ...Object.fromEntries(others), [id]: { ...draft, created, kept: Date.now() } };
  if (id === GUEST) {
    keepInTab(NAME, memory);
    return;
  }
  try {
    localStorage.setItem(`${HERE}|${NAME}`, JSON.stringify(memory));
  } catch { /* full or closed: it lives as long as the page */ }
}
