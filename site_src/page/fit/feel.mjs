// Feel the lever: a finger on a part of the figure moves the setup inside its limits, and so do the sliders below. What
// follows the finger lies between setups that Python worked out before; what stands there once it is up is Python's own.

import { drawing, moveParts, sayInstead, toTheStart, viewShown, whenDrawn } from "./figure.mjs";
import { gridOf, handleOn, handlePlace, moved, nearestOf, numbersAt, partsAt, placeOf, placesOf, stopsHere, wayOf } from "./grid.mjs";
import { change, changeText, fillList, make, makeSvg } from "../shared/element.mjs";
import { byId, find, findAll } from "../shared/find.mjs";
import { convert, onTape } from "../shared/lengths.mjs";

const NEAR_PX = 30; // of a handle: as far as a thumb misses
const KEYS_REST_MS = 400;
const SAME = 1e-4; // m or radians: what is not further off was not moved
const section = byId("feel");
const sliders = find(section, "#feel-axes");
const rows = find(section, "#feel-numbers");
const stop = find(section, "#feel-stop");
const setup = byId("setup");
const rowSaid = find(setup, "#rep-said");

/** @typedef {{ grid: import("./grid.mjs").Grid, at: number[], parts: Kept.Choice, unit: Kept.UnitSwitch, numbers?: Stands[] }} Felt `parts`: as they were before the axis that moves now */
/** @typedef {{ key: string, kind: Core.FeltNumber["kind"], places: Element[], row?: Element }} Stands where a number stands on the screen */
/** @typedef {{ handle: Core.Handle, off: number[], way: number[][], to: number[] | null }} Held a part of the figure in hand: how far beside it, where it can go, and where the finger is now */
/** @type {{ felt: Felt | null, held: Held | null, axis: number, frame: number, rest?: number, letGo: (parts: Kept.Choice) => void }} */
const feel = { felt: null, held: null, axis: 0, frame: 0, letGo: () => {} };

let inView = true; // the sliders' panel: out of view it waits while a finger is on the figure
new IntersectionObserver((seen) => {
  inView = seen[seen.length - 1].isIntersecting;
  if (inView && feel.held) paintSoon();
}).observe(section);

/** A number as the screen writes it. @param {number} value @param {Core.FeltNumber["kind"]} kind @param {Kept.UnitSwitch} unit */
function written(value, kind, unit) {
  if (kind === "angle") return value.toFixed(0);
  if (kind === "kg") return `${value.toFixed(0)} kg`;
  if (kind === "percent") return `${value < -0.5 ? "−" : value >= 0.5 ? "+" : ""}${Math.abs(value).toFixed(0)} %`;
  const inUnit = convert(100 * value, "cm", unit);
  if (unit === "in") return onTape(inUnit, kind === "settable" ? 4 : 8);
  return (kind === "settable" ? Math.round(2 * inUnit) / 2 : inUnit).toFixed(1);
}

/** @param {string} text @param {Core.FeltNumber["kind"]} kind @param {Kept.UnitSwitch} unit */
const withUnit = (text, kind, unit) => (kind === "angle" ? `${text}°` : kind === "settable" || kind === "length" ? `${text} ${unit}` : text);

/** The setup under the finger, painted with the next frame. */
function paintSoon() {
  feel.frame ||= requestAnimationFrame(() => {
    feel.frame = 0;
    if (!feel.felt) return;
    followFinger(feel.felt);
    paint(feel.felt);
  });
}

/** @param {Felt} felt */
function followFinger(felt) {
  const { held } = feel;
  if (!held?.to) return;
  felt.at = moved(felt.grid, felt.at, held.handle.axis, nearestOf(held.way, held.to), felt.parts);
  held.to = null;
}

/** @param {Felt} felt */
function paint(felt) {
  const { grid, at, unit } = felt;
  const numbers = numbersAt(grid, at);
  const places = placesOf(grid, at, viewShown());
  moveParts(places);
  showHandles(places);
  const panelToo = inView || !feel.held;
  prepare(felt, numbers);
  setup.dataset.felt ||= "yes";
  for (const { key, kind, places: here, row } of felt.numbers ?? []) {
    const text = written(numbers[key], kind, unit);
    for (const place of here) changeText(place, text);
    if (row && panelToo) changeText(row, text);
  }
  const stops = stopsHere(grid, at, feel.axis);
  changeText(stop, stops);
  sayInstead(stops); // where a finger on the drawing sees it
  if (panelToo) showSliders(felt, numbers);
}

/** What the first move needs, once. @param {Felt} felt */
function prepare(felt, numbers = numbersAt(felt.grid, felt.at)) {
  if (felt.numbers) return;
  felt.numbers = felt.grid.numbers.map(standing);
  keepSizes(felt.numbers);
  for (const { key, kind, row } of felt.numbers) if (row) row.textContent = written(numbers[key], kind, felt.unit);
}

/** Where a number stands; what is against the setup shown gets a row of its own. @param {Core.FeltNumber} number @returns {Stands} */
function standing({ key, kind, label }) {
  const places = [...setup.querySelectorAll(`[data-key="${key}"] [data-part="value"]`)];
  if (kind !== "kg" && kind !== "percent") return { key, kind, places };
  const row = make("dd");
  rows.append(make("div", make("dt", label), row));
  return { key, kind, places, row };
}

/** While a finger is down, what it changes keeps its size: a text that changes moves nothing outside its box, and nothing outside is laid out anew. @param {Stands[]} numbers */
function keepSizes(numbers) {
  const boxes = numbers.flatMap(({ places }) => places.flatMap((place) => place.closest("dd") ?? []));
  /** @type {HTMLElement[]} */
  const all = [...boxes, rowSaid, stop];
  const sizes = all.map((box) => box.getBoundingClientRect().height);
  all.forEach((box, i) => { box.style.blockSize = `${sizes[i]}px`; });
}

/** @param {Felt} felt @param {Record<string, number>} numbers */
function showSliders({ grid, at, unit }, numbers) {
  for (const [i, input] of findAll(sliders, "input", HTMLInputElement).entries()) {
    const { key, kind } = grid.numbers.find((one) => one.key === grid.axes[i].key) ?? grid.numbers[0];
    input.value = String(Math.round(at[i] * Number(input.max)));
    change(input, "aria-valuetext", withUnit(written(numbers[key], kind, unit), kind, unit));
  }
}

/** @param {Felt} felt */
const handlesHere = ({ grid }) => grid.handles.filter(({ view }) => view === viewShown());

/** Rings where a finger can take hold, on a sheet over the drawing. @param {Record<string, number[]> | null} [parts] where the drawing's parts are */
function showHandles(parts = feel.felt && placesOf(feel.felt.grid, feel.felt.at, viewShown())) {
  const { felt } = feel;
  const [svg, sheet] = drawing.children;
  const places = felt && parts ? handlesHere(felt).map((handle) => handleOn(parts[handle.part], handle)) : [];
  if (sheet?.children.length !== places.length) {
    sheet?.remove();
    if (!svg || !places.length) return;
    const size = ["viewBox", "preserveAspectRatio"].map((name) => [name, svg.getAttribute(name) ?? "xMidYMid"]);
    drawing.append(makeSvg("svg", { class: "handles", "aria-hidden": "true", ...Object.fromEntries(size) }, ...places.map(() => makeSvg("circle", { r: 15 }))));
  }
  for (const [i, ring] of [...drawing.children[1].children].entries()) {
    change(ring, "cx", places[i][0].toFixed(1));
    change(ring, "cy", places[i][1].toFixed(1));
  }
}

/** Moved and let go: what is there is asked of Python. */
function letGo() {
  const { felt } = feel;
  if (!felt) return;
  followFinger(felt);
  feel.held = null;
  if (setup.dataset.felt) paint(felt); // the panel too
  feel.letGo(inHand(felt));
}

/** A place of the screen in units of the drawing. @param {PointerEvent} event @returns {number[] | null} */
function inDrawing({ clientX, clientY }) {
  const [svg] = drawing.children;
  const matrix = svg instanceof SVGSVGElement && svg.getScreenCTM();
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
  const near = handlesHere(felt).map((handle) => {
    const [hx, hy] = handlePlace(felt.grid, felt.at, handle);
    return { handle, off: [hx - x, hy - y], far: scale * Math.hypot(hx - x, hy - y) };
  });
  const [nearest] = near.sort((a, b) => a.far - b.far);
  if (!nearest || nearest.far > NEAR_PX) return;
  begin(felt, nearest.handle.axis);
  feel.held = { ...nearest, way: wayOf(felt.grid, felt.at, nearest.handle, felt.parts), to: null };
  drawing.setPointerCapture(event.pointerId);
  prepare(felt);
  event.preventDefault();
}

/** The setup as it is now; what was not moved is as it was to the last digit, and is not rounded to the next mark. @param {Felt} felt @returns {Kept.Choice} */
function inHand({ grid, at, parts }) {
  const now = partsAt(grid, at);
  return Object.fromEntries(Object.entries(now).map(([key, part]) => [key, Math.abs(part - parts[key]) < SAME ? parts[key] : part]));
}

/** An axis is taken in hand: the other parts stay as they are now. @param {Felt} felt @param {number} axis */
function begin(felt, axis) {
  felt.parts = inHand(felt);
  feel.axis = axis;
  toTheStart();
}

/** @param {PointerEvent} event */
function move(event) {
  const { held } = feel;
  const to = held && inDrawing(event);
  if (!held || !to) return;
  held.to = [to[0] + held.off[0], to[1] + held.off[1]];
  paintSoon();
}

/** `onLetGo(parts)`: the setup that was picked, m. @param {(parts: Kept.Choice) => void} onLetGo */
export function listenToFeel(onLetGo) {
  feel.letGo = onLetGo;
  whenDrawn(() => showHandles());
  drawing.addEventListener("pointerdown", takeHold);
  drawing.addEventListener("pointermove", move);
  for (const end of ["pointerup", "pointercancel"]) drawing.addEventListener(end, () => { if (feel.held) letGo(); });
  sliders.addEventListener("input", ({ target }) => {
    const { felt } = feel;
    if (!felt || !(target instanceof HTMLInputElement)) return;
    const axis = Number(target.dataset.axis);
    if (!feel.rest || feel.axis !== axis) begin(felt, axis);
    felt.at = moved(felt.grid, felt.at, axis, Number(target.value) / Number(target.max), felt.parts);
    paintSoon();
    clearTimeout(feel.rest);
    feel.rest = setTimeout(letGo, KEYS_REST_MS);
  });
}

/** The grid round what is shown; null while there is none. @param {Core.Feel | null} given @param {Kept.Choice | undefined} parts @param {Kept.UnitSwitch} unit */
export function showFeel(given, parts = undefined, unit = "cm") {
  clearTimeout(feel.rest);
  cancelAnimationFrame(feel.frame);
  Object.assign(feel, { felt: null, held: null, frame: 0, rest: 0 });
  drawing.toggleAttribute("data-feel", Boolean(given));
  delete setup.dataset.felt;
  for (const box of [...findAll(setup, "dd[style]"), rowSaid, stop]) box.removeAttribute("style");
  rows.replaceChildren(); // against what is shown, while a finger moves it
  for (const input of findAll(sliders, "input", HTMLInputElement)) input.setAttribute("aria-disabled", String(!given)); // one in use keeps its focus
  if (!given || !parts) return void showHandles();
  section.hidden = false;
  const grid = gridOf(given);
  feel.felt = { grid, at: placeOf(grid, parts), parts, unit };
  const axes = grid.axes.map(({ key }, axis) => ({ axis, label: grid.numbers.find((one) => one.key === key)?.label ?? "" }));
  fillList(sliders, axes, ({ axis, label }) => make("label", make("span", label), make("input", { type: "range", min: 0, max: 100, "data-axis": axis })));
  showSliders(feel.felt, numbersAt(grid, feel.felt.at));
  showHandles();
  changeText(stop, "");
}
