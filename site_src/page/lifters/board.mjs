// The list of lifters: a slip for each, found by name and notes.

import { say } from "../../words.mjs";
import { button, fillList, make, showText, withDates } from "../shared/element.mjs";
import { byId, find, findAll } from "../shared/find.mjs";
import { nameOf } from "../shared/names.mjs";
import { numberOf } from "../shared/parts.mjs";
import { tapeOf, today } from "../shared/record.mjs";
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

/** @type {WeakMap<Kept.Lifter, { day: string, texts: { name: string, setup: string, summary: string, due: string } }>} until the record is read anew */
const told = new WeakMap();

/** What a lifter's slip says. @param {Kept.Lifter} record */
function textsOf(record, day = today()) {
  const known = told.get(record);
  if (known?.day === day) return known.texts;
  const texts = { name: record.name, setup: setupOf(record, day)?.text ?? "", summary: summaryOf(record), due: listed(dueOf(record, day)) };
  told.set(record, { day, texts });
  return texts;
}

/** @typedef {{ item: HTMLLIElement, line: string }} Slip `line`: what it says */
/** @type {Map<string, Slip>} by id, once made: a search takes many off and puts them back */
const slips = new Map();

/** @param {string} id */
function newSlip(id) {
  const inside = [make("strong"), make("span", { class: "set-up" }), make("span"), make("em", { class: "due" }), make("em", say("lifters_here")), make("em", say("lifters_archived"))];
  const item = make("li", button("", () => onOpen(id), { "data-id": id, class: "slip" }, ...inside));
  const slip = { item, line: "" };
  slips.set(id, slip);
  return slip;
}

/** Shows a lifter on a slip; one that says so already is left alone. @param {Slip} slip @param {Kept.Lifter} record */
function fillSlip(slip, record) {
  const texts = textsOf(record);
  const states = [record.id === board.onFit, record.archived, record.id === board.opened];
  const line = JSON.stringify([texts, states]);
  if (slip.line === line) return;
  slip.line = line;
  const place = find(slip.item, "button");
  const [name, setup, summary, due, here, inArchive] = findAll(place, ":scope > *");
  name.textContent = texts.name;
  showText(setup, texts.setup);
  showText(due, texts.due);
  summary.replaceChildren(...withDates(texts.summary));
  here.hidden = !states[0];
  inArchive.hidden = !states[1];
  if (states[2]) place.setAttribute("aria-current", "true");
  else place.removeAttribute("aria-current");
}

/** The same slip stays the same element, also while a finger is on it. @param {Kept.Lifter[]} records */
function showSlips(records) {
  for (const record of records) fillSlip(slips.get(record.id) ?? newSlip(record.id), record);
  fillList(byId("list"), records.map(({ id }) => id), (id) => /** @type {Slip} */ (slips.get(id)).item);
}

/** @param {string} id @returns {HTMLElement | null} */
export const slipOf = (id) => byId("list").querySelector(`[data-id="${id}"]`);

/** @type {{ [order: string]: (a: Kept.Lifter, b: Kept.Lifter) => number }} */
const ORDERS = {
  name: (a, b) => a.name.localeCompare(b.name),
  due: (a, b) => Number(textsOf(b).due !== "") - Number(textsOf(a).due !== "") || a.name.localeCompare(b.name),
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
