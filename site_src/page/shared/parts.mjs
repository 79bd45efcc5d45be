// What parts of a record are called, and how a value reads.

import { say } from "../../words.mjs";
import { namesItsUnit } from "./lengths.mjs";
import { listed } from "./said.mjs";
import { typedFrom, unitWords } from "./record.mjs";

/** A tape number as typed, with its unit. @param {string} key @param {string} text @param {Kept.UnitSwitch} unit */
export function numberOf(key, text, unit) {
  const typed = typedFrom(text, key, unit);
  return namesItsUnit(typed.text) ? typed.text : `${typed.text} ${unitWords(key)[typed.unit]}`;
}

/** @typedef {(key: string) => string} NameOf the label of a number or choice */

/** The label of a path of a record. @param {string} path @param {NameOf} nameOf */
export function labelOf(path, nameOf) {
  const [part, , inside, key] = path.split("/");
  if (part === "lifts") return say(`lifters_part_${inside}`);
  if (part !== "tapes") return say(`lifters_part_${part}`);
  return key ? nameOf(key) : say("lifters_part_unit");
}

/** The value at a path, in words. @param {string} path @param {unknown} value @param {NameOf} nameOf */
export function valueIn(path, value, nameOf) {
  if (value === null || value === "") return say("lifters_nothing");
  const [part, , inside, key] = path.split("/");
  if (part === "tapes" && inside === "choices") return nameOf(`${key}/${value}`);
  if (inside === "setups") {
    const setup = /** @type {Kept.Setup} */ (value);
    return setup.text ?? setup.name ?? setup.key;
  }
  if (inside === "choice") {
    const parts = /** @type {Kept.Choice} */ (value);
    const inCm = (/** @type {string} */ name) => `${(100 * parts[name]).toFixed(1)} cm`;
    if ("touch_m" in parts) return say("lifters_grip", inCm("grip_m"));
    return listed(Object.keys(parts).map((name) => (name.endsWith("_m") ? inCm(name) : `${Math.round(parts[name])}°`)));
  }
  return String(value);
}

/** What changed between two tapes, a line each; `before` null for the first one. @param {Kept.Tape | null} before @param {Kept.Tape} tape @param {NameOf} nameOf */
export function changesOf(before, tape, nameOf) {
  const lines = [];
  for (const key of new Set([...Object.keys(before?.fields ?? {}), ...Object.keys(tape.fields)])) {
    const was = before?.fields[key] ? numberOf(key, before.fields[key], before.unit) : "";
    const is = tape.fields[key] ? numberOf(key, tape.fields[key], tape.unit) : "";
    if (was !== is) lines.push(before ? say("lifters_from_to", nameOf(key), was || "–", is || "–") : say("named", nameOf(key), is));
  }
  for (const key of new Set([...Object.keys(before?.choices ?? {}), ...Object.keys(tape.choices)])) {
    const [was, is] = [before?.choices[key], tape.choices[key]].map((value) => (value === undefined ? "–" : nameOf(`${key}/${value}`)));
    if (was !== is) lines.push(before ? say("lifters_from_to", nameOf(key), was, is) : say("labelled", nameOf(key), is));
  }
  return lines;
}
