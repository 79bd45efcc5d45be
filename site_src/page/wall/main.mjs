// The wall: everybody kept here fitted a few at a time, drawn on one bar and one rack, compared side by side, printed.

import { say } from "../../words.mjs";
import { startCalculator } from "../shared/calculator.mjs";
import { make, row, showText } from "../shared/element.mjs";
import { byId, find } from "../shared/find.mjs";
import { LIFT } from "../shared/lift.mjs";
import { fitRequestOf } from "../shared/record.mjs";
import { inWords } from "../shared/said.mjs";
import * as store from "../shared/store.mjs";
import { svgOf } from "../shared/svg.mjs";
import { printCards } from "./cards.mjs";
import { showSideBySide } from "./side-by-side.mjs";

const MOST_AT_ONCE = 8; // as in the core
const MOST_COMPARED = 6;
const BATCH_MS = 400; // what one question may take, so that the page says how far it is
/** @typedef {{ id: string, name: string, request: Core.FitRequest }} Asked @typedef {Core.OnWall & { ok: true }} Placed */

/** @type {Asked[]} */
let people = [];
/** @type {Map<string, Core.OnWall>} */
let fitted = new Map();
/** @type {string[]} names of those without a tape of this lift */
let untaped = [];
/** @type {Set<string>} ids, in the order they were ticked */
let picked = new Set();
let awake = false;
let batch = { size: 1, since: 0 };

const client = startCalculator(/** @type {import("../shared/calculator.mjs").Settings<Core.WallQuestions>} */ ({
  kinds: ["wall/compare", "wall/draw", "wall/fit"],
  onResponse: take,
  onAwake: (now) => {
    awake = now;
    next();
  },
  beforeReload: async () => {},
}));
/** @template {keyof Core.WallQuestions} K @param {K} want @param {Core.WallQuestions[K]["request"]} request */
const ask = (want, request) => client.ask(want, Object.assign(request, { want }));

/** @param {Kept.Lifter} lifter @returns {Asked | null} */
function askedOf(lifter) {
  const request = fitRequestOf(lifter);
  return request && { id: lifter.id, name: lifter.name, request };
}

async function begin() {
  const trouble = await store.open();
  if (trouble) tellTrouble(trouble);
  await load();
}

/** @param {store.Trouble | null} trouble */
function tellTrouble(trouble) {
  showText(find(byId("store-trouble"), "p"), trouble && inWords(trouble), byId("store-trouble"));
}

async function load() {
  /** @type {Kept.Lifter[]} */
  let lifters = [];
  try {
    lifters = (await store.list()).filter(({ archived }) => !archived);
  } catch (error) {
    tellTrouble(store.asTrouble(error));
  }
  byId("nobody").hidden = lifters.length > 0;
  const asked = lifters.map(askedOf);
  untaped = lifters.filter((_, i) => !asked[i]).map(({ name }) => name);
  people = asked.filter((one) => one !== null);
  const kept = new Set(people.map(({ id }) => id));
  picked = new Set([...picked].filter((id) => kept.has(id)));
  client.drop("wall/fit");
  fitted = new Map();
  batch = { size: 1, since: 0 };
  next();
}

function next() {
  const waiting = people.filter(({ id }) => !fitted.has(id));
  const bar = byId("done", HTMLProgressElement);
  bar.hidden = !waiting.length;
  bar.value = people.length ? fitted.size / people.length : 0;
  if (waiting.length && awake) {
    batch.since = performance.now();
    ask("wall/fit", { people: waiting.slice(0, batch.size) });
  }
  const progress = awake ? say("wall_progress", fitted.size, people.length) : say("wall_waiting");
  byId("said").textContent = waiting.length ? progress : people.length ? say("wall_done", placed().length) : "";
  if (!waiting.length) show();
}

/** Those on the wall. @returns {Placed[]} */
const placed = () => people.map(({ id }) => fitted.get(id)).filter((one) => one?.ok === true);

/** @type {Core.OnResponse<Core.WallQuestions>} */
function take(...[kind, response]) {
  if (kind === "wall/fit") takeFit(response);
  else if (kind === "wall/draw") takeDrawn(response);
  else showSideBySide(response);
}

/** @param {Core.WallQuestions["wall/fit"]["answer"]} response */
function takeFit(response) {
  if (!response.ok) {
    byId("said").textContent = response.errors.map(inWords).join(" ");
    return;
  }
  for (const one of response.people) fitted.set(one.id, one);
  const each = (performance.now() - batch.since) / Math.max(response.people.length, 1);
  batch.size = Math.max(1, Math.min(MOST_AT_ONCE, Math.round(BATCH_MS / each)));
  next();
}

// ---- what is shown

function show() {
  const all = placed();
  const missing = people.map(({ id }) => fitted.get(id)).filter((one) => one?.ok === false);
  byId("without").replaceChildren(
    ...untaped.map((name) => make("li", say("wall_no_tape", name))),
    ...missing.map((one) => make("li", say("wall_no_setup", one.name, one.errors.map(inWords).join(" ")))),
  );
  for (const id of ["print-wall", "print-cards"]) byId(id, HTMLButtonElement).disabled = !all.length;
  byId("setups").hidden = !all.length;
  showRows(all);
  compare();
  if (!all.length) byId("pictures").replaceChildren();
  else ask("wall/draw", { unit: people[0].request.unit, people: all.map(({ name, spots }) => ({ name, spots })), lift: LIFT });
}

/** @param {Core.WallQuestions["wall/draw"]["answer"]} response */
function takeDrawn(response) {
  if (!response.ok) return;
  byId("pictures").replaceChildren(...response.pictures.map(({ title, svg }) => make("figure", make("figcaption", title), svgOf(svg))));
}

/** @param {Placed[]} all */
function showRows(all) {
  const table = find(byId("setups"), "table", HTMLTableElement);
  const heads = all[0]?.headline ?? [];
  find(table, "thead").replaceChildren(row(make("th", { scope: "col" }, say("wall_head")), ...heads.map(({ label, unit }) => make("th", { scope: "col" }, unit ? `${label} ${unit}` : label))));
  byId("rows").replaceChildren(...all.map((one) => {
    const tick = make("input", { type: "checkbox", value: one.id, "aria-label": say("wall_pick", one.name), change });
    tick.checked = picked.has(one.id);
    return row(make("th", { scope: "row" }, make("label", { class: "tick" }, tick, make("span", one.name))), ...one.headline.map(({ value }) => value));
  }));
}

/** @param {Event} event */
function change({ target }) {
  if (!(target instanceof HTMLInputElement)) return;
  const full = target.checked && picked.size >= MOST_COMPARED;
  byId("most").textContent = full ? say("wall_most", MOST_COMPARED) : "";
  if (full) target.checked = false;
  else if (target.checked) picked.add(target.value);
  else picked.delete(target.value);
  compare();
}

function compare() {
  const chosen = [...picked].map((id) => people.find((one) => one.id === id)).filter((one) => one !== undefined);
  if (chosen.length < 2) byId("compared").hidden = true;
  else ask("wall/compare", { unit: chosen[0].request.unit, people: chosen });
}

// ---- print

byId("print-wall").addEventListener("click", () => {
  document.documentElement.dataset.print = "wall";
  print();
});
byId("print-cards").addEventListener("click", async () => {
  document.documentElement.dataset.print = "cards";
  await printCards(byId("cards"), placed());
  print();
});

store.onTrouble(tellTrouble);
store.watch(load);
begin();
