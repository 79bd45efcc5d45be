// The trade-off picture: tap a point, step along, or choose from the list; and back to the suggestion.

import { steppable } from "./figure.mjs";
import { fillList, make } from "../shared/element.mjs";
import { around, byId, find, findAll } from "../shared/find.mjs";
import { svgOf } from "../shared/svg.mjs";

const section = byId("trade");
const place = find(section, '[data-part="trade"]');
const range = find(section, "#trade-at", HTMLInputElement);
const said = find(section, "#trade-said");
const list = find(section, "#trade-list");
const back = find(section, "#trade-back");
/** @type {Core.Tradeoff | null} */
let shown = null;
/** @type {number | null} */
let picked = null; // the point the lifter chose, as long as the points stay the same

/** @param {Core.Tradeoff} shown @param {number} at */
function mark({ suggested, choices }, at) {
  for (const point of pointsShown()) {
    const here = Number(point.dataset.choice) === at;
    const kind = here ? "trade-at" : Number(point.dataset.choice) === suggested ? "trade-suggested" : "trade-point";
    point.setAttribute("class", kind);
    point.setAttribute("r", here ? "9" : "6");
  }
  range.value = String(at);
  range.setAttribute("aria-valuetext", choices[at].text);
  said.textContent = choices[at].text;
  list.querySelectorAll("button").forEach((button, i) => {
    if (i === at) button.setAttribute("aria-current", "true");
    else button.removeAttribute("aria-current");
  });
}

const pointsShown = () => findAll(place, "[data-choice]", SVGElement);

/** The buttons stay the same elements, so that the one in use keeps its focus. @param {Core.Tradeoff["choices"]} choices */
function showList(choices) {
  const items = fillList(list, choices.map((_, i) => i), (i) => make("li", make("button", { type: "button", "data-choice": i })));
  items.forEach((item, i) => { find(item, "button").textContent = choices[i].text; });
}

/** @param {MouseEvent} event */
function nearestPoint({ clientX, clientY }) {
  const far = (/** @type {Element} */ point) => {
    const { x, y, width, height } = point.getBoundingClientRect();
    return Math.hypot(x + width / 2 - clientX, y + height / 2 - clientY);
  };
  return Number(pointsShown().reduce((best, point) => (far(point) < far(best) ? point : best)).dataset.choice);
}

/** `onPick(choice)`: the setup chosen, or null for the suggestion. @param {(choice: Kept.Choice | null) => void} onPick */
export function listenToTrade(onPick) {
  const pick = (/** @type {number} */ at) => {
    if (!shown) return;
    picked = at;
    mark(shown, at);
    const { grip_m, touch_m } = shown.choices[at];
    onPick(at === shown.suggested ? null : { grip_m, touch_m });
  };
  steppable(range, () => pick(Number(range.value)));
  place.addEventListener("click", (event) => { if (shown) pick(nearestPoint(event)); });
  list.addEventListener("click", (event) => {
    const button = around(event, "[data-choice]");
    if (button) pick(Number(button.dataset.choice));
  });
  back.addEventListener("click", () => {
    picked = null;
    onPick(null);
    range.focus();
  });
}

/** @param {Core.Tradeoff} next @param {boolean} chosen */
export function showTrade(next, chosen) {
  const same = shown && JSON.stringify(shown.choices) === JSON.stringify(next.choices);
  if (!same || !chosen) picked = null;
  shown = next;
  place.replaceChildren(svgOf(next.svg));
  range.max = String(next.choices.length - 1);
  showList(next.choices);
  mark(next, picked ?? next.at);
  back.hidden = !chosen;
}
