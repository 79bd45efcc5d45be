// The figure: one pose in three views, and the bar moved along the rep by hand.

import { change } from "../shared/element.mjs";
import { find, findAll } from "../shared/find.mjs";
import { svgOf } from "../shared/svg.mjs";

const figure = find(document, "#setup figure");
export const drawing = find(figure, '[data-part="svg"]');
const row = find(figure, "#rep-row", HTMLInputElement);
const said = find(figure, "#rep-said");
const buttons = findAll(figure, "#rep button", HTMLButtonElement);
const controls = [...findAll(figure, "#rep input, .views input", HTMLInputElement), ...buttons];
/** @type {Core.FitFigure} */
let shown; // nothing can be moved before

/** @type {{ work: () => void, view: string, parts: Record<string, Element[]> }} `parts`: of what stands there, by their names */
const drawn = { work: () => {}, view: "", parts: {} };

for (const control of controls) control.disabled = true; // until there is something to move

/** A range that is also stepped by the two buttons beside it. @param {HTMLInputElement} range @param {() => void} changed */
export function steppable(range, changed) {
  range.addEventListener("input", changed);
  for (const button of findAll(range.parentElement ?? document, "[data-move]")) {
    button.addEventListener("click", () => {
      const before = range.value;
      range.value = String(Number(before) + Number(button.dataset.move));
      if (range.value !== before) changed();
    });
  }
}

function chosenView() {
  const key = find(figure, '.views input:checked', HTMLInputElement).value;
  return shown.views.find((view) => view.key === key) ?? shown.views[0];
}

const POINT = ["cx", "cy"];
const LINE = ["x1", "y1", "x2", "y2"];

/** @param {Element} part @param {Core.Place} where */
function put(part, where) {
  if (part.hasAttribute("points")) return change(part, "points", String(where));
  const names = where.length === 2 ? POINT : LINE;
  for (let i = 0; i < names.length; i += 1) change(part, names[i], String(where[i]));
}

/** The parts of the drawing go to other places. @param {Record<string, Core.Place>} parts */
export function moveParts(parts) {
  for (const [name, elements] of Object.entries(drawn.parts)) {
    const where = (name === "plate" && parts.bar) || parts[name];
    if (where) for (const part of elements) put(part, where);
  }
}

export const viewShown = () => drawn.view;

/** The bar back where the rep begins, where a finger can take hold of it. */
export function toTheStart() {
  if (!Number(row.value)) return;
  row.value = "0";
  moveBar();
}

function moveBar() {
  const at = Number(row.value);
  moveParts(chosenView().rows[at]);
  for (const text of drawn.parts["moment-arm-text"] ?? []) text.textContent = shown.row_arms[at];
  sayRow();
}

function sayRow() {
  const sentence = shown.rows[Number(row.value)];
  row.setAttribute("aria-valuetext", sentence);
  drawing.dataset.row = row.value;
  said.textContent = sentence;
}

/** Under the drawing, in place of what the row shown is like. @param {string} text */
export const sayInstead = (text) => { if (said.textContent !== text) said.textContent = text; };

function draw() {
  const { key, svg } = chosenView();
  drawing.replaceChildren(svgOf(svg));
  drawn.view = key;
  drawn.parts = {};
  for (const part of findAll(drawing, "[data-part]", SVGElement)) (drawn.parts[part.dataset.part ?? ""] ??= []).push(part);
  if (Number(row.value)) moveBar();
  else sayRow();
  drawn.work();
}

steppable(row, moveBar);
for (const radio of findAll(figure, ".views input")) radio.addEventListener("change", draw);

/** @param {() => void} work done whenever another drawing stands there */
export const whenDrawn = (work) => { drawn.work = work; };

/** @param {Core.FitFigure} next */
export function showFigure(next) {
  shown = next;
  for (const control of controls) control.disabled = false;
  row.max = String(next.rows.length - 1);
  draw();
}

/** Bar on the chest, seen from the side. */
export function resetFigure() {
  row.value = "0";
  find(figure, ".views input", HTMLInputElement).checked = true;
}
