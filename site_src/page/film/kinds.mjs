// The kinds of marks, as the page was built with them: the rim, the joints of this page's lift, the bar's end, a level edge.

import { say } from "../../words.mjs";
import { byId, find, findAll } from "../shared/find.mjs";
import { showText } from "../shared/element.mjs";
import { LIFT } from "../shared/lift.mjs";

const box = byId("kinds");
for (const one of findAll(document, ":is(#open, #bench) [data-lift]")) if (one.dataset.lift !== LIFT) one.remove();
for (const radio of findAll(byId("about"), "input[type=radio]", HTMLInputElement)) radio.checked = radio.defaultChecked; // another lift's took the mark
byId("no-film").hidden = Boolean(box.querySelector("[data-lift]"));

/** What the moments of this lift are called, by their keys. @type {{ [moment: string]: string }} */
export const MOMENTS = Object.fromEntries(findAll(byId("bench"), "data[data-moment]", HTMLDataElement).map(({ dataset, value }) => [dataset.moment ?? "", value]));

/** @returns {Film.KindOf[]} */
export const readKinds = () => findAll(box, "input", HTMLInputElement).map(({ value, dataset, labels }) => ({
  key: value,
  label: labels?.[0].querySelector("[data-part='label']")?.textContent ?? value,
  hint: dataset.hint ?? "",
  pictures: dataset.pictures ?? "",
  lead: dataset.lead ?? "",
  from: dataset.from ? /** @type {[number, number]} */ (dataset.from.split(" ").map(Number)) : undefined,
  needed: dataset.need === "needed",
  wanted: dataset.need === "wanted",
  at: (dataset.at ?? "").split(" ").filter(Boolean),
  ofPhoto: dataset.photo !== "no",
}));

/** @param {string} key */
const radio = (key) => find(box, `input[value="${key}"]`, HTMLInputElement);

/** @param {string} key */
export const check = (key) => { radio(key).checked = true; };

/** Also of the one that was chosen already: then its next tap is for it again. @param {(key: string) => void} chosen */
export function onChoice(chosen) {
  box.addEventListener("click", ({ target }) => { if (target instanceof HTMLInputElement) chosen(target.value); });
}

/** Says of a kind in how many of the pictures where it is asked for it is marked, or how much it is wanted; `asked`: whether it is, in what is open. @param {string} key @param {number} set @param {number} of */
export function showSet(key, set, of, asked = true) {
  const label = find(box, `input[value="${key}"] + *`);
  const part = set > 0 && set < of;
  showText(find(label, '[data-part="state"]'), part ? say("film_some_set", set, of) : say(set ? "film_set" : asked ? `film_${radio(key).dataset.need}` : "film_optional"));
  label.classList.toggle("set", set > 0 && !part);
}
