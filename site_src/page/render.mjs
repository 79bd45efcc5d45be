// Lays a response of the core into the places that the page was built with.

import { say } from "../words.mjs";
import { showFigure } from "./figure.mjs";
import { showTrade } from "./trade.mjs";

const SPEAK_AFTER_MS = 700;
const setup = document.querySelector("#setup");
const why = document.querySelector(".because");
const spoken = document.querySelector("#spoken");
let speaking;
let turn = 0;

function fill(box, values) {
  for (const [name, value] of Object.entries(values)) {
    const place = box.querySelector(`[data-part="${name}"]`);
    if (place) place.textContent = value;
  }
}

function make(name, text, ...inside) {
  const element = document.createElement(name);
  if (text) element.textContent = text;
  element.append(...inside);
  return element;
}

function items(list, texts) {
  list.replaceChildren(...texts.map((text) => make("li", text)));
}

function row([name, value]) {
  const head = make("th", name);
  head.scope = "row";
  return make("tr", "", head, make("td", value));
}

/** Reads the result out once typing has come to rest, not at every key. */
function speakSetup(response) {
  speak([...response.headline, ...response.measures].map((n) => `${n.label} ${n.value} ${n.unit}`).join(", "));
}

export function speak(text) {
  clearTimeout(speaking);
  spoken.textContent = "";
  speaking = setTimeout(() => { spoken.textContent = text; }, SPEAK_AFTER_MS);
}

/** The numbers and the figure are painted first; the rest follows in a task of its own, and only the newest. */
function afterPaint(work) {
  const mine = (turn += 1);
  requestAnimationFrame(() => setTimeout(() => { if (mine === turn) work(); }));
}

function explain(response) {
  items(why.querySelector('[data-part="reasons"]'), response.reasons.map((r) => r.message));
  items(why.querySelector('[data-part="warnings"]'), response.warnings.filter((w) => !w.field).map((w) => w.message));
  items(why.querySelector('[data-part="parts"]'), response.gain?.parts ?? []);
  why.querySelector("#chosen-said").hidden = !response.chosen;
  why.querySelector("#bought").hidden = !response.gain;
  const marks = response.marks.map((m) => make("div", "", make("dt", m.label), make("dd", m.text)));
  document.querySelector("#marks").replaceChildren(...marks);
  showTrade(response.tradeoff, response.chosen);
}

export function render(response, { age: of, tag, from }) {
  for (const number of [...response.headline, ...response.measures]) {
    const box = setup.querySelector(`[data-key="${number.key}"]`);
    if (box) fill(box, number);
  }
  const gain = setup.querySelector('[data-part="gain"]');
  gain.hidden = !response.gain;
  gain.textContent = response.gain?.text ?? "";
  showFigure(response.figure);
  setup.querySelector('[data-part="figure-text"]').textContent = response.figure.text;
  setup.querySelector('[data-part="figure-table"]').replaceChildren(...response.figure.table.map(row));
  afterPaint(() => explain(response));
  showAge(of, { tag, from });
  if (of === "own") speakSetup(response);
}

/** Intervals and the next number; null while they are being worked out. */
export function showDoubt(doubt) {
  for (const place of setup.querySelectorAll("[data-interval]")) {
    const text = doubt?.intervals[place.dataset.interval] ?? "";
    place.textContent = text;
    place.parentElement.dataset.known = text ? "yes" : "no";
  }
  const covers = why.querySelector("#doubt-said");
  covers.hidden = !doubt;
  covers.textContent = doubt?.covers ?? "";
  const next = why.querySelector("#next");
  next.hidden = !doubt?.next;
  if (!doubt?.next) return;
  next.dataset.next = doubt.next.key;
  fill(next, { "next-text": doubt.next.message });
  const drawing = document.querySelector(`#${doubt.next.key}-drawing svg`);
  next.querySelector('[data-part="next-drawing"]').replaceChildren(...(drawing ? [drawing.cloneNode(true)] : []));
}

let name = ""; // of the lifter who is kept; nothing for a guest
let shownTag = "example";

const tagText = (tag) => ({ own: name, chosen: name && say("chosen_of", name) })[tag] || say(tag);

/** Whose numbers the result belongs to: example, own, or old (the last good ones); the tag may say it closer. */
export function showAge(of, { tag = of, from } = {}) {
  shownTag = tag;
  setup.dataset.age = of;
  fill(setup.querySelector("#age"), { tag: tagText(tag), ...(from === undefined ? {} : { from }) });
}

/** Own results go by this name from now on; by none for a guest. */
export function showName(given) {
  name = given;
  fill(setup.querySelector("#age"), { tag: tagText(shownTag) });
}

export function age() {
  return setup.dataset.age;
}

