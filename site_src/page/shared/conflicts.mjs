// Two tabs gave different values for one part of a lifter: both are shown, a tap keeps one.

import { say } from "../../words.mjs";
import { fillList } from "./fill.mjs";
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
    const item = document.createElement("li");
    const text = document.createElement("p");
    const shown = values.map((value) => short(valueIn(path, value, nameOf)));
    text.textContent = say("lifters_conflict", labelOf(path, nameOf), ...shown);
    const buttons = values.map((value, i) => {
      const button = document.createElement("button");
      button.type = "button";
      button.textContent = say("lifters_keep_this", shown[i]);
      button.addEventListener("click", () => settle(path, value));
      return button;
    });
    item.append(text, ...buttons);
    return item;
  });
}
