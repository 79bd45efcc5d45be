// Two tabs gave different values for one part of a lifter: both are shown, a tap keeps one.

import { say } from "../../words.mjs";
import { button, fillList, make } from "./element.mjs";
import { labelOf, valueIn } from "./parts.mjs";
import { valueAt } from "./record.mjs";

const LONGEST = 60;
const short = (/** @type {string} */ text) => (text.length > LONGEST ? `${text.slice(0, LONGEST)}…` : text);

/**
 * Shows a record's conflicts in a list; `settle(path, value)` when a person chose.
 * @param {HTMLElement} list @param {Kept.Lifter} record
 * @param {{ nameOf: import("./parts.mjs").NameOf, settle: (path: string, value: unknown) => void }} hooks
 */
export function showConflicts(list, record, { nameOf, settle }) {
  list.hidden = !record.conflicts.length;
  const both = record.conflicts.map(({ path, other }) => ({ id: record.id, path, values: [valueAt(record, path), other] }));
  fillList(list, both, ({ path, values }) => {
    const shown = values.map((value) => short(valueIn(path, value, nameOf)));
    const choices = values.map((value, i) => button(say("lifters_keep_this", shown[i]), () => settle(path, value)));
    return make("li", make("p", say("lifters_conflict", labelOf(path, nameOf), ...shown)), ...choices);
  });
}
