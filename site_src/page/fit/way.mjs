// The way there: the steps from the present setup to the suggestion, each with its day, kept as setups of the lifter when asked.

import { say } from "../../words.mjs";
import { fillList, make, showText } from "../shared/element.mjs";
import { byId, find } from "../shared/find.mjs";

const section = byId("way");
/** @type {{ shown: Core.Way | null }} */
const way = { shown: null };

/** The day so many days from today, as ISO 8601 has it. @param {number} days */
function dateIn(days) {
  const day = new Date();
  day.setDate(day.getDate() + days);
  return [day.getFullYear(), String(day.getMonth() + 1).padStart(2, "0"), String(day.getDate()).padStart(2, "0")].join("-");
}

/** @param {Core.Way | null} given */
export function showWay(given) {
  way.shown = given;
  section.hidden = !given;
  showText(find(section, '[data-part="way-text"]'), given?.text);
  fillList(find(section, "ol"), given?.steps ?? [], ({ after_days, label }) => make("li", make("strong", say("way_from", dateIn(after_days))), " ", label));
  showText(byId("way-said"), "");
}

/** `onKeep(steps)`: they become setups of the lifter; it answers what to say. @param {(steps: Core.WayStep[]) => Promise<string> | string} onKeep */
export function listenToWay(onKeep) {
  byId("way-keep").addEventListener("click", async () => {
    if (way.shown) showText(byId("way-said"), await onKeep(way.shown.steps));
  });
}

/** The steps as setups to keep, named in their order. @param {Core.WayStep[]} steps */
export function setupsOf(steps) {
  return steps.map(({ after_days, parts, label }, i) => ({ name: say("way_step_of", i + 1, steps.length), date: dateIn(after_days), text: label, ...parts }));
}
