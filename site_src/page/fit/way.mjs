// The way there: the steps from the present setup to the suggestion, each with its day, kept as setups of the lifter when asked;
// each ends in keep or go back, asked from its day on.

import { say } from "../../words.mjs";
import { fillList, make, showText } from "../shared/element.mjs";
import { byId, find } from "../shared/find.mjs";
import { sentences } from "../shared/said.mjs";

const section = byId("way");
const proposed = find(section, "#way-proposed");
const now = find(section, "#way-now");
/** @typedef {ReturnType<typeof import("./steps.mjs").wayAt>} KeptWay */
/** @type {{ shown: Core.Way | null, kept: KeptWay | null }} */
const way = { shown: null, kept: null };

/** The day so many days from today, as ISO 8601 has it. @param {number} days */
function dateIn(days) {
  const day = new Date();
  day.setDate(day.getDate() + days);
  return [day.getFullYear(), String(day.getMonth() + 1).padStart(2, "0"), String(day.getDate()).padStart(2, "0")].join("-");
}

/** @param {Core.Way | null} given */
export function showWay(given) {
  way.shown = given;
  showText(find(section, '[data-part="way-text"]'), given?.text);
  fillList(find(section, "ol"), given?.steps ?? [], ({ after_days, label }) => make("li", make("strong", say("way_from", dateIn(after_days))), " ", label));
  showText(byId("way-said"), "");
  show();
}

/** The way that is kept: which step is asked for, and what is next, on the screen and on the card. @param {KeptWay} kept */
export function showKeptWay(kept) {
  way.kept = kept;
  const { asked, next } = kept;
  const ask = asked && say("way_asked", asked.name, asked.date, asked.text);
  const coming = next && say("way_next", next.name, next.date, next.text);
  showText(find(now, '[data-part="asked"]'), ask, find(now, "#way-ask"));
  showText(find(now, '[data-part="next"]'), coming);
  showText(byId("rack-way"), sentences(asked && say("way_this", asked.name, asked.text), coming));
  show();
}

/** A way that is open stands alone: another one from today would contradict it. */
function show() {
  const open = Boolean(way.kept?.asked || way.kept?.next);
  now.hidden = !open;
  proposed.hidden = open || !way.shown;
  section.hidden = !open && !way.shown && byId("way-said").hidden;
}

/**
 * `onKeep(steps)`: they become setups of the lifter; `onAnswer(answer)`: a step is kept, or gone back from; both answer what to say.
 * `onShow(step)`: the step as the setup that is shown.
 * @typedef {Promise<string> | string} Said
 * @param {{ onKeep: (steps: Core.WayStep[]) => Said, onAnswer: (answer: "kept" | "back") => Said, onShow: (step: Kept.Setup) => void }} hooks
 */
export function listenToWay({ onKeep, onAnswer, onShow }) {
  const said = async (/** @type {Said} */ text) => {
    showText(byId("way-said"), await text);
    show();
  };
  byId("way-keep").addEventListener("click", () => { if (way.shown) said(onKeep(way.shown.steps)); });
  byId("way-kept").addEventListener("click", () => said(onAnswer("kept")));
  byId("way-back").addEventListener("click", () => said(onAnswer("back")));
  byId("way-show").addEventListener("click", () => { if (way.kept?.asked) onShow(way.kept.asked); });
}

/** The steps as setups to keep, named in their order. @param {Core.WayStep[]} steps */
export function setupsOf(steps) {
  return steps.map(({ after_days, parts, label }, i) => ({ name: say("way_step_of", i + 1, steps.length), date: dateIn(after_days), text: label, ...parts }));
}
