// The figure: one pose in three views, and the bar moved along the rep by hand.

import { svgOf } from "./svg.mjs";

const figure = document.querySelector("#setup figure");
const place = figure.querySelector('[data-part="svg"]');
const row = figure.querySelector("#rep-row");
const said = figure.querySelector("#rep-said");
const controls = [...figure.querySelectorAll("#rep input, #rep button, .views input")];
let shown = null;

for (const control of controls) control.disabled = true; // until there is something to move

/** A range that is also stepped by the two buttons beside it. */
export function steppable(range, changed) {
  range.addEventListener("input", changed);
  for (const button of range.parentElement.querySelectorAll("[data-move]")) {
    button.addEventListener("click", () => {
      const before = range.value;
      range.value = Number(before) + Number(button.dataset.move);
      if (range.value !== before) changed();
    });
  }
}

function chosenView() {
  const key = figure.querySelector('.views input:checked').value;
  return shown.views.find((view) => view.key === key) ?? shown.views[0];
}

function put(part, where) {
  if (typeof where === "string") part.setAttribute("points", where);
  else (where.length === 2 ? ["cx", "cy"] : ["x1", "y1", "x2", "y2"]).forEach((name, i) => part.setAttribute(name, where[i]));
}

function moveBar() {
  const at = Number(row.value);
  const moved = chosenView().rows[at];
  for (const [name, where] of Object.entries({ ...moved, plate: moved.bar })) {
    for (const part of place.querySelectorAll(`[data-part="${name}"]`)) put(part, where);
  }
  for (const text of place.querySelectorAll('[data-part="moment-arm-text"]')) text.textContent = shown.row_arms[at];
  sayRow();
}

function sayRow() {
  const sentence = shown.rows[Number(row.value)];
  row.setAttribute("aria-valuetext", sentence);
  said.textContent = sentence;
}

function draw() {
  place.replaceChildren(svgOf(chosenView().svg));
  if (Number(row.value)) moveBar();
  else sayRow();
}

steppable(row, moveBar);
for (const radio of figure.querySelectorAll(".views input")) radio.addEventListener("change", draw);

export function showFigure(next) {
  shown = next;
  for (const control of controls) control.disabled = false;
  row.max = next.rows.length - 1;
  draw();
}

/** Bar on the chest, seen from the side. */
export function resetFigure() {
  row.value = 0;
  figure.querySelector(".views input").checked = true;
}
