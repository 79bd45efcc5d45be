// The kinds of marks, as the page was built with them: the rim, the joints of this page's lift, the bar's end, a level edge.

import { say } from "../../words.mjs";
import { byId, find, findAll } from "../shared/find.mjs";
import { showText } from "../shared/element.mjs";
import { LIFT } from "../shared/lift.mjs";

const box = byId("kinds");
for (const label of findAll(box, "[data-lift]")) if (label.dataset.lift !== LIFT) label.remove();
byId("no-film").hidden = Boolean(box.querySelector("[data-lift]"));

/** @returns {Film.KindOf[]} */
export const readKinds = () => findAll(box, "input", HTMLInputElement).map(({ value, dataset, labels }) => ({
  key: value,
  label: labels?.[0].querySelector("[data-part='label']")?.textContent ?? value,
  hint: dataset.hint ?? "",
  lead: dataset.lead ?? "",
  from: dataset.from ? /** @type {[number, number]} */ (dataset.from.split(" ").map(Number)) : undefined,
  needed: dataset.need === "needed",
  wanted: dataset.need === "wanted",
}));

/** @param {string} key */
const radio = (key) => find(box, `input[value="${key}"]`, HTMLInputElement);

/** @param {string} key */
export const check = (key) => { radio(key).checked = true; };

/** Also of the one that was chosen already: then its next tap is for it again. @param {(key: string) => void} chosen */
export function onChoice(chosen) {
  box.addEventListener("click", ({ target }) => { if (target instanceof HTMLInputElement) chosen(target.value); });
}

/** Says of a kind whether it is marked, or how much it is wanted. @param {string} key @param {boolean} isSet */
export function showSet(key, isSet) {
  const label = find(box, `input[value="${key}"] + *`);
  showText(find(label, '[data-part="state"]'), say(isSet ? "film_set" : `film_${radio(key).dataset.need}`));
  label.classList.toggle("set", isSet);
}
