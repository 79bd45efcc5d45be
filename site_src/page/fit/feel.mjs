// Feel the lever: a finger on a hand, on the bar or on an elbow moves the setup inside its limits, and so do the sliders below. What
// follows the finger lies between setups that Python worked out before; what stands there once it is up is Python's own.

import { drawing, moveParts, toTheChest, viewShown } from "./figure.mjs";
import { between, follow, gridOf, handlePlace, placeOf, stopsHere } from "./grid.mjs";
import { fillList, make, showText } from "../shared/element.mjs";
import { byId, find, findAll } from "../shared/find.mjs";
import { convert, onTape } from "../shared/lengths.mjs";

const NEAR_PX = 30; // of a handle: as far as a thumb misses
const KEYS_REST_MS = 400;
const section = byId("feel");
const sliders = find(section, "#feel-axes");
const rows = find(section, "#feel-numbers");
const stop = find(section, "#feel-stop");
const setup = byId("setup");

/** @typedef {{ grid: import("./grid.mjs").Grid, at: number[], unit: Kept.UnitSwitch }} Felt */
/** @type {{ felt: Felt | null, handle: Core.Handle | null, frame: number, rest?: number, letGo: (parts: Kept.Choice) => void }} */
const feel = { felt: null, handle: null, frame: 0, letGo: () => {} };

/** A number as the screen writes it. @param {number} value @param {Core.FeltNumber["kind"]} kind @param {Kept.UnitSwitch} unit */
function written(value, kind, unit) {
  if (kind === "angle") return value.toFixed(0);
  if (kind === "kg") return `${value.toFixed(0)} kg`;
  if (kind === "percent") return `${value < -0.5 ? "−" : value >= 0.5 ? "+" : ""}${Math.abs(value).toFixed(0)} %`;
  const inUnit = convert(100 * value, "cm", unit);
  if (unit === "in") return onTape(inUnit, kind === "settable" ? 4 : 8);
  return (kind === "settable" ? Math.round(2 * inUnit) / 2 : inUnit).toFixed(1);
}

/** The setup under the finger, painted with the next frame. */
function paintSoon() {
  feel.frame ||= requestAnimationFrame(() => {
    feel.frame = 0;
    if (feel.felt) paint(feel.felt);
  });
}

/** @param {Felt} felt */
function paint({ grid, at, unit }) {
  const { numbers, places } = between(grid, at);
  moveParts(places[viewShown()]);
  setup.dataset.felt = "yes";
  const texts = grid.numbers.map(({ key, kind, label }) => ({ key, kind, label, text: written(numbers[key], kind, unit) }));
  for (const { key, text } of texts) {
    for (const place of setup.querySelectorAll(`[data-key="${key}"] [data-part="value"]`)) place.textContent = text;
  }
  const more = texts.filter(({ kind }) => kind === "kg" || kind === "percent");
  fillList(rows, more.map(({ key }) => key), () => make("div", make("dt"), make("dd"))).forEach((item, i) => {
    find(item, "dt").textContent = more[i].label;
    find(item, "dd").textContent = more[i].text;
  });
  const stops = grid.axes.map((_, i) => stopsHere(grid, at, i));
  showText(stop, stops[feel.handle?.axis ?? lastAxis] || stops.find(Boolean));
  for (const [i, input] of findAll(sliders, "input", HTMLInputElement).entries()) {
    input.value = String(Math.round(at[i] * Number(input.max)));
    input.setAttribute("aria-valuetext", texts.find(({ key }) => key === grid.axes[i].key)?.text ?? "");
  }
}

let lastAxis = 0;

/** Moved and let go: what is there is asked of Python. */
function letGo() {
  const { felt } = feel;
  feel.handle = null;
  if (felt) feel.letGo(between(felt.grid, felt.at).parts);
}

/** A place of the screen in units of the drawing. @param {PointerEvent} event @returns {number[] | null} */
function inDrawing({ clientX, clientY }) {
  const svg = drawing.querySelector("svg");
  const matrix = svg?.getScreenCTM();
  if (!matrix) return null;
  const { x, y } = new DOMPoint(clientX, clientY).matrixTransform(matrix.inverse());
  return [x, y, matrix.a];
}

/** @param {PointerEvent} event */
function takeHold(event) {
  const { felt } = feel;
  const to = inDrawing(event);
  if (!felt || !to) return;
  const [x, y, scale] = to;
  const far = (/** @type {Core.Handle} */ handle) => {
    const [hx, hy] = handlePlace(felt.grid, felt.at, handle);
    return scale * Math.hypot(hx - x, hy - y);
  };
  const [nearest] = felt.grid.handles.filter(({ view }) => view === viewShown()).sort((a, b) => far(a) - far(b));
  if (!nearest || far(nearest) > NEAR_PX) return;
  feel.handle = nearest;
  lastAxis = nearest.axis;
  toTheChest();
  drawing.setPointerCapture(event.pointerId);
  event.preventDefault();
}

/** @param {PointerEvent} event */
function move(event) {
  const { felt, handle } = feel;
  const to = handle && inDrawing(event);
  if (!felt || !handle || !to) return;
  felt.at = follow(felt.grid, felt.at, handle, to);
  paintSoon();
}

/** `onLetGo(parts)`: the setup that was picked, m. @param {(parts: Kept.Choice) => void} onLetGo */
export function listenToFeel(onLetGo) {
  feel.letGo = onLetGo;
  drawing.addEventListener("pointerdown", takeHold);
  drawing.addEventListener("pointermove", move);
  drawing.addEventListener("pointerup", () => { if (feel.handle) letGo(); });
  drawing.addEventListener("pointercancel", () => { if (feel.handle) letGo(); });
  sliders.addEventListener("input", ({ target }) => {
    const { felt } = feel;
    if (!felt || !(target instanceof HTMLInputElement)) return;
    const axis = Number(target.dataset.axis);
    felt.at = felt.at.with(axis, Number(target.value) / Number(target.max));
    lastAxis = axis;
    toTheChest();
    paintSoon();
    clearTimeout(feel.rest);
    feel.rest = setTimeout(letGo, KEYS_REST_MS);
  });
}

/** The grid round what is shown; null while there is none. @param {Core.Feel | null} given @param {Kept.Choice | undefined} parts @param {Kept.UnitSwitch} unit */
export function showFeel(given, parts = undefined, unit = "cm") {
  clearTimeout(feel.rest);
  cancelAnimationFrame(feel.frame);
  Object.assign(feel, { felt: null, handle: null, frame: 0 });
  drawing.toggleAttribute("data-feel", Boolean(given));
  delete setup.dataset.felt;
  for (const input of findAll(sliders, "input", HTMLInputElement)) input.setAttribute("aria-disabled", String(!given)); // one in use keeps its focus
  if (!given || !parts) return;
  section.hidden = false;
  const grid = gridOf(given);
  feel.felt = { grid, at: placeOf(grid, parts), unit };
  const axes = grid.axes.map(({ key }, axis) => ({ axis, label: grid.numbers.find((one) => one.key === key)?.label ?? "" }));
  fillList(sliders, axes, ({ axis, label }) => make("label", make("span", label), make("input", { type: "range", min: 0, max: 100, "data-axis": axis })));
  for (const [i, input] of findAll(sliders, "input", HTMLInputElement).entries()) input.value = String(Math.round(feel.felt.at[i] * 100));
  showText(stop, "");
}
