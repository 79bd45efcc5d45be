// Lays a response of the core into the places that the page was built with.

import { say } from "../../words.mjs";
import { fillList, make, row, showText } from "../shared/element.mjs";
import { byId, find, findAll } from "../shared/find.mjs";
import { listed, numberInWords, sentences } from "../shared/said.mjs";
import { showCard, whoseCard } from "./card.mjs";
import { showFeel } from "./feel.mjs";
import { showFigure } from "./figure.mjs";
import { showTrade } from "./trade.mjs";
import { showWay } from "./way.mjs";

const SPEAK_AFTER_MS = 700;
const setup = byId("setup");
const why = find(document, ".because");
const spoken = byId("spoken");
/** @type {number | undefined} */
let speaking;
let turn = 0;

/** @typedef {"example" | "own" | "old"} Age whose numbers a result belongs to; old: of the last good ones */

/** @param {Element} box @param {object} values texts by the part they go to */
function fill(box, values) {
  for (const [name, value] of Object.entries(values)) {
    const place = box.querySelector(`[data-part="${name}"]`);
    if (place) place.textContent = value;
  }
}

/** @param {Element} list @param {string[]} texts */
function items(list, texts) {
  list.replaceChildren(...texts.map((text) => make("li", text)));
}

/** Reads the result out once typing has come to rest, not at every key. @param {Core.Fitted} response */
function speakSetup(response) {
  speak(listed([...response.headline, ...response.measures].map(numberInWords)));
}

/** @param {string} text */
export function speak(text) {
  clearTimeout(speaking);
  spoken.textContent = "";
  speaking = setTimeout(() => { spoken.textContent = text; }, SPEAK_AFTER_MS);
}

/** The numbers and the figure are painted first; the rest follows in a task of its own, and only the newest. @param {() => void} work */
function afterPaint(work) {
  const mine = (turn += 1);
  requestAnimationFrame(() => setTimeout(() => { if (mine === turn) work(); }));
}

/** @param {Core.Fitted} response */
function explain(response) {
  items(find(why, '[data-part="reasons"]'), response.reasons.map((r) => r.message));
  items(find(why, '[data-part="warnings"]'), response.warnings.map((w) => w.message));
  items(find(why, '[data-part="parts"]'), response.gain?.parts ?? []);
  byId("chosen-said").hidden = byId("feel-chosen").hidden = !response.chosen;
  byId("bought").hidden = !response.gain;
  const marks = response.marks.map((m) => make("div", make("dt", m.label), make("dd", m.text)));
  byId("marks").replaceChildren(...marks);
  showFree(response);
  showWay(response.way);
  showTrade(response.tradeoff, response.chosen);
}

/** What is nearly free, and another way beside this one; a lift that says nothing of them has no place for it. @param {Core.Fitted} response */
function showFree({ bands, beside }) {
  for (const free of findAll(document, "#free")) {
    items(find(free, '[data-part="bands"]'), (bands ?? []).map((band) => band.text));
    find(free, "#beside").hidden = !beside;
    free.hidden = !beside && !bands?.length;
    if (!beside) continue;
    fill(free, { here: beside.here, there: beside.there, "beside-text": beside.text });
    find(free, '[data-part="rows"]').replaceChildren(...beside.rows.map((cells) => row(...cells)));
  }
}

/** @param {Core.Fitted} response @param {{ age: Age, tag: string, from: string }} whose */
export function render(response, { age: of, tag, from }) {
  for (const number of [...response.headline, ...response.measures]) {
    const box = setup.querySelector(`[data-key="${number.key}"]`);
    if (box) fill(box, number);
  }
  showText(find(setup, '[data-part="decision"]'), response.gain?.decision);
  showText(find(setup, '[data-part="gain"]'), response.gain?.text, find(setup, ".gain"));
  for (const list of [find(setup, ".rests"), find(why, ".rests")]) fillList(list, response.rests, (text) => make("li", text));
  showFeel(null); // it was round another setup
  showFigure(response.figure);
  find(setup, '[data-part="figure-text"]').textContent = response.figure.text;
  find(setup, '[data-part="figure-table"]').replaceChildren(...response.figure.table.map((cells) => row(...cells)));
  showCard(response.card, response.rests, whoseCard(name, of === "example"));
  afterPaint(() => explain(response));
  showAge(of, { tag, from });
  if (of === "own") speakSetup(response);
}

/** Intervals and the next number; null while they are being worked out. @param {Core.Doubt | null} doubt */
export function showDoubt(doubt) {
  for (const place of findAll(setup, "[data-interval]")) {
    const text = doubt?.intervals[place.dataset.interval ?? ""] ?? "";
    place.textContent = text;
    if (place.parentElement) place.parentElement.dataset.known = text ? "yes" : "no";
  }
  showText(byId("doubt-said"), doubt && sentences(doubt.covers, doubt.off));
  const next = byId("next");
  next.hidden = !doubt?.next;
  if (!doubt?.next) return;
  next.dataset.next = doubt.next.key;
  fill(next, { "next-text": doubt.next.message });
  const drawing = document.querySelector(`#${doubt.next.key}-drawing svg`);
  find(next, '[data-part="next-drawing"]').replaceChildren(...(drawing ? [drawing.cloneNode(true)] : []));
}

let name = ""; // of the lifter who is kept; nothing for a guest
let shownTag = "example";

const tagText = (/** @type {string} */ tag) => (tag === "own" ? name : tag === "chosen" && name ? say("chosen_of", name) : "") || say(tag);

/** Whose numbers the result belongs to; the tag may say it closer. @param {Age} of @param {{ tag?: string, from?: string }} said */
export function showAge(of, { tag = of, from } = {}) {
  shownTag = tag;
  setup.dataset.age = of;
  fill(byId("age"), { tag: tagText(tag), ...(from === undefined ? {} : { from }) });
}

/** Own results go by this name from now on; by none for a guest. @param {string} given */
export function showName(given) {
  name = given;
  fill(byId("age"), { tag: tagText(shownTag) });
}

export function age() {
  return /** @type {Age} */ (setup.dataset.age);
}

