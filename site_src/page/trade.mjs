// The trade-off picture: tap a point, step along, or choose from the list; and back to the suggestion.

import { steppable } from "./figure.mjs";
import { svgOf } from "./svg.mjs";

const section = document.querySelector("#trade");
const place = section.querySelector('[data-part="trade"]');
const range = section.querySelector("#trade-at");
const said = section.querySelector("#trade-said");
const list = section.querySelector("#trade-list");
const back = section.querySelector("#trade-back");
let shown = null;
let picked = null; // the point the lifter chose, as long as the points stay the same

function mark(at) {
  for (const point of place.querySelectorAll("[data-choice]")) {
    const here = Number(point.dataset.choice) === at;
    const kind = here ? "trade-at" : Number(point.dataset.choice) === shown.suggested ? "trade-suggested" : "trade-point";
    point.setAttribute("class", kind);
    point.setAttribute("r", here ? 9 : 6);
  }
  range.value = at;
  range.setAttribute("aria-valuetext", shown.choices[at].text);
  said.textContent = shown.choices[at].text;
  list.querySelectorAll("button").forEach((button, i) => {
    if (i === at) button.setAttribute("aria-current", "true");
    else button.removeAttribute("aria-current");
  });
}

/** The buttons stay the same elements, so that the one in use keeps its focus. */
function fillList(choices) {
  while (list.children.length > choices.length) list.lastElementChild.remove();
  choices.forEach(({ text }, i) => {
    if (!list.children[i]) {
      const item = document.createElement("li");
      const button = document.createElement("button");
      button.type = "button";
      button.dataset.choice = i;
      item.append(button);
      list.append(item);
    }
    list.children[i].firstElementChild.textContent = text;
  });
}

function nearestPoint({ clientX, clientY }) {
  const far = (point) => {
    const { x, y, width, height } = point.getBoundingClientRect();
    return Math.hypot(x + width / 2 - clientX, y + height / 2 - clientY);
  };
  const points = [...place.querySelectorAll("[data-choice]")];
  return Number(points.reduce((best, point) => (far(point) < far(best) ? point : best)).dataset.choice);
}

/** `onPick(choice)`: the setup chosen, or null for the suggestion. */
export function listenToTrade(onPick) {
  const pick = (at) => {
    if (!shown) return;
    picked = at;
    mark(at);
    const { grip_m, touch_m } = shown.choices[at];
    onPick(at === shown.suggested ? null : { grip_m, touch_m });
  };
  steppable(range, () => pick(Number(range.value)));
  place.addEventListener("click", (event) => { if (shown) pick(nearestPoint(event)); });
  list.addEventListener("click", (event) => {
    const button = event.target.closest("[data-choice]");
    if (button) pick(Number(button.dataset.choice));
  });
  back.addEventListener("click", () => {
    picked = null;
    onPick(null);
    range.focus();
  });
}

export function showTrade(next, chosen) {
  const same = shown && JSON.stringify(shown.choices) === JSON.stringify(next.choices);
  if (!same || !chosen) picked = null;
  shown = next;
  place.replaceChildren(svgOf(next.svg));
  range.max = next.choices.length - 1;
  fillList(next.choices);
  mark(picked ?? next.at);
  back.hidden = !chosen;
}
