// The list of lifters: a slip for each, found by name and notes.

import { say } from "../../words.mjs";
import { button, fillList, make, showText, withDates } from "../shared/element.mjs";
import { byId, find, findAll } from "../shared/find.mjs";
import { nameOf } from "../shared/names.mjs";
import { numberOf } from "../shared/parts.mjs";
import { tapeOf } from "../shared/record.mjs";
import { listed } from "../shared/said.mjs";
import { dueOf, setupOf } from "./due.mjs";

const NAMED_NUMBERS = 2;
const search = byId("search", HTMLInputElement);
const archived = byId("archived", HTMLInputElement);
const order = byId("order", HTMLSelectElement);
const plain = (/** @type {string} */ text) => text.normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase();

/** `opened`, `onFit`: ids. @type {{ lifters: Kept.Lifter[], opened: string, onFit: string }} */
export const board = { lifters: [], opened: "", onFit: "" };

/** The one that is open. */
export const openedOne = () => board.lifters.find(({ id }) => id === board.opened);

/** @param {Kept.Lifter} record */
function summaryOf(record) {
  const tape = tapeOf(record);
  if (!tape) return say("lifters_no_tape");
  const numbers = Object.entries(tape.fields).slice(0, NAMED_NUMBERS).map(([key, text]) => say("named", nameOf(key), numberOf(key, text, tape.unit)));
  return listed([...numbers, say("lifters_taped", tape.date)]);
}

/** @param {string} id */
function newSlip(id) {
  const inside = [make("strong"), make("span", { class: "set-up" }), make("span"), make("em", { class: "due" }), make("em", say("lifters_here")), make("em", say("lifters_archived"))];
  return make("li", button("", () => onOpen(id), { "data-id": id, class: "slip" }, ...inside));
}

/** The same slip stays the same element, also while a finger is on it. @param {Kept.Lifter[]} records */
function showSlips(records) {
  fillList(byId("list"), records.map(({ id }) => id), newSlip).forEach((item, i) => {
    const record = records[i];
    const slip = find(item, "button");
    const [name, setup, summary, due, here, inArchive] = findAll(slip, ":scope > *");
    name.textContent = record.name;
    showText(setup, setupOf(record)?.text);
    showText(due, listed(dueOf(record)));
    summary.replaceChildren(...withDates(summaryOf(record)));
    here.hidden = record.id !== board.onFit;
    inArchive.hidden = !record.archived;
    if (record.id === board.opened) slip.setAttribute("aria-current", "true");
    else slip.removeAttribute("aria-current");
  });
}

/** @param {string} id @returns {HTMLElement | null} */
export const slipOf = (id) => byId("list").querySelector(`[data-id="${id}"]`);

/** @type {{ [order: string]: (a: Kept.Lifter, b: Kept.Lifter) => number }} */
const ORDERS = {
  name: (a, b) => a.name.localeCompare(b.name),
  due: (a, b) => Number(dueOf(b).length > 0) - Number(dueOf(a).length > 0) || a.name.localeCompare(b.name),
  taped: (a, b) => (tapeOf(b)?.date ?? "").localeCompare(tapeOf(a)?.date ?? "") || a.name.localeCompare(b.name),
};

export function showList() {
  const wanted = plain(search.value.trim());
  const withArchived = archived.checked || wanted;
  const within = board.lifters.filter((lifter) => withArchived || !lifter.archived);
  const shown = within.filter(({ name, notes }) => plain(`${name} ${notes}`).includes(wanted)).toSorted(ORDERS[order.value]);
  showSlips(shown);
  const hidden = board.lifters.length - within.length;
  const found = () => say("lifters_found", shown.length, board.lifters.length, search.value.trim());
  const count = () => (hidden ? say("lifters_count_hidden", board.lifters.length, hidden) : say("lifters_count", board.lifters.length));
  byId("count").textContent = !board.lifters.length ? say("lifters_count_none") : wanted ? found() : count();
}

/** @type {(id: string) => void} */
let onOpen;

/** `open(id)` when a slip is tapped. @param {(id: string) => void} open */
export function listenToBoard(open) {
  onOpen = open;
  search.addEventListener("input", showList);
  archived.addEventListener("change", showList);
  order.addEventListener("change", showList);
}
