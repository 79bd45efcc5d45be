// A lifter's record: its shape, a value in it by path, and how two writers' changes are put together. Nothing here stores.
//
//   {id, version: 1, name, archived, notes, created, changed,
//    tapes: [{date, unit, fields: {key: text as typed}, choices: {key: value}}],   by date, one a day
//    setups: [{key, name, date, grip_m, touch_m, text}],
//    trials: {log, pending, revision}, preference, preference_from, choice, cautions_read,
//    conflicts: [{path, other, tab}]}        what a second tab wrote where the first had written something else
//
// Paths: "name", "notes", "archived", "preference", "preference_from", "choice", "cautions_read", "setups/KEY", "tapes/DATE",
// "tapes/DATE/unit", "tapes/DATE/fields/KEY", "tapes/DATE/choices/KEY". A value of null (or an empty text) is nothing.

import { namesItsUnit } from "./lengths.mjs";

/**
 * @typedef {"cm" | "in"} Switch
 * @typedef {{ date: string, unit: Switch, fields: Record<string, string>, choices: Record<string, string> }} Tape
 * @typedef {{ key: string, name?: string, text?: string, [part: string]: unknown }} Kept a setup
 * @typedef {{ path: string, other: any, tab: string }} Conflict
 * @typedef {{ id: string, version: number, name: string, archived: boolean, notes: string, created: string, changed: string,
 *   tapes: Tape[], setups: Kept[], trials: { log: string, pending: any[], revision: number }, preference: number | null,
 *   preference_from: string, choice: any, cautions_read: boolean, conflicts: Conflict[] }} LifterRecord
 * @typedef {Record<string, any>} Changes value by path
 */

export const VERSION = 1;
export const GUEST = "guest";
/** @type {Record<string, any>} */
const PLAIN = { name: "", notes: "", archived: false, preference: null, preference_from: "", choice: null, cautions_read: false };
const DATE = /^\d{4}-\d\d-\d\d$/;

/**
 * @param {string} id
 * @returns {LifterRecord}
 */
export function blank(id) {
  const now = new Date().toISOString();
  return {
    id, version: VERSION, name: "", archived: false, notes: "", created: now, changed: now, tapes: [], setups: [],
    trials: { log: "", pending: [], revision: 0 }, preference: null, preference_from: "", choice: null, cautions_read: false, conflicts: [],
  };
}

/** This day here, as year-month-day. */
export function today(now = new Date()) {
  const two = (/** @type {number} */ number) => String(number).padStart(2, "0");
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

/**
 * The newest tape, up to a date if one is given.
 * @param {LifterRecord} record
 */
export function tapeOf(record, date = "9999-99-99") {
  return record.tapes.filter((tape) => tape.date <= date).at(-1) ?? null;
}

/**
 * A tape as the core's request: unit, typed texts, and what was chosen.
 * @param {Tape | null} tape
 */
export function requestOf(tape) {
  return tape && { unit: tape.unit, fields: { ...tape.fields }, ...tape.choices };
}

// ---- typed texts

/** @type {Record<string, Record<Switch, string>>} */
const UNIT_WORDS = { length: { cm: "cm", in: "in" }, mass: { cm: "kg", in: "lb" } }; // by the unit switch
/** @type {Switch[]} */
const SWITCHES = ["cm", "in"];
const JOINT = "\u00a0"; // between a text and the unit that was not typed with it

/** @param {string} key */
export const unitWords = (key) => UNIT_WORDS[key === "body_mass" ? "mass" : "length"];

/**
 * What was typed while the switch stood at `typed.unit`, as a text that means the same under `unit`.
 * @param {Switch} unit
 * @param {string} key
 * @param {{ text: string, unit: Switch }} typed
 */
export function textUnder(unit, key, { text, unit: own }) {
  return own === unit || !text.trim() || namesItsUnit(text) ? text : text + JOINT + unitWords(key)[own];
}

/**
 * What was typed, back from such a text.
 * @param {string} text
 * @param {string} key
 * @param {Switch} unit
 * @returns {{ text: string, unit: Switch }}
 */
export function typedFrom(text, key, unit) {
  const [typed, word] = text.split(JOINT);
  const own = SWITCHES.find((one) => unitWords(key)[one] === word);
  return own ? { text: typed, unit: own } : { text, unit };
}

/**
 * The record of the one lifter whose numbers an earlier version kept as a text of its own; null where it is damaged.
 * @param {string} id
 * @param {string} name
 * @param {string} raw
 * @returns {LifterRecord | null}
 */
export function fromEarlierKeep(id, name, raw) {
  try {
    const { typed: { unit, typed, choices = {} }, choice = null, preference = null, readCautions = false } = JSON.parse(raw);
    const fields = Object.entries(/** @type {Record<string, { text: string, unit: Switch }>} */ (typed)).map(([key, one]) => [key, textUnder(unit, key, one)]).filter(([, text]) => text.trim());
    const tapes = [{ date: today(), unit, fields: Object.fromEntries(fields), choices }];
    const record = { ...blank(id), name, tapes, choice, preference, cautions_read: readCautions };
    return faultOf(record) ? null : record;
  } catch {
    return null;
  }
}

// ---- one value by its path

/**
 * @template {object} Item
 * @param {Item[]} list
 * @param {keyof Item} name
 * @param {string} key
 */
const ofKey = (list, name, key) => list.find((item) => item[name] === key);
/** @param {unknown} value */
const nothing = (value) => value === undefined || value === "";

/**
 * A tape that is not there yet reads as the one before it: that is what it starts from.
 * @param {LifterRecord} record
 * @param {string} date
 */
const tapeAt = (record, date) => ofKey(record.tapes, "date", date) ?? tapeOf(record, date) ?? tapeOf(record);

/**
 * @param {LifterRecord} record
 * @param {string} path
 * @returns {any}
 */
export function valueAt(record, path) {
  const [part, key, inside, name] = path.split("/");
  let value = /** @type {Record<string, any>} */ (record)[part];
  if (part === "setups") value = ofKey(record.setups, "key", key);
  else if (part === "tapes") {
    if (!inside) value = ofKey(record.tapes, "date", key);
    else value = inside === "unit" ? tapeAt(record, key)?.unit : tapeAt(record, key)?.[of(inside)][name];
  }
  return nothing(value) ? null : value;
}

/** @param {string} inside */
const of = (inside) => /** @type {"fields" | "choices"} */ (inside);

/**
 * @template {object} Item
 * @param {Item[]} list
 * @param {keyof Item} name
 * @param {string} key
 * @param {any} value
 * @returns {Item[]}
 */
function withItem(list, name, key, value) {
  const rest = list.filter((item) => item[name] !== key);
  return value === null ? rest : [...rest, { ...value, [name]: key }];
}

/**
 * @param {Tape[]} tapes
 * @param {string} date
 * @param {any} value
 */
function withTape(tapes, date, value) {
  return withItem(tapes, "date", date, value).sort((a, b) => (a.date < b.date ? -1 : 1));
}

/**
 * @param {LifterRecord} record
 * @param {string} path
 * @param {any} given
 */
function put(record, path, given) {
  const value = nothing(given) ? null : given;
  const [part, key, inside, name] = path.split("/");
  if (part in PLAIN) /** @type {Record<string, any>} */ (record)[part] = value ?? PLAIN[part];
  else if (part === "setups" && key) record.setups = withItem(record.setups, "key", key, value);
  else if (part === "tapes" && DATE.test(key)) {
    const tape = inside ? structuredClone(tapeAt(record, key) ?? { unit: "cm", fields: {}, choices: {} }) : value;
    if (inside === "unit") tape.unit = value ?? "cm";
    else if (inside && value === null) delete tape[of(inside)][name];
    else if (inside) tape[of(inside)][name] = value;
    record.tapes = withTape(record.tapes, key, tape);
  } else throw new RangeError(`no part of a record: ${path}`);
}

// ---- two writers

/**
 * @param {any} a
 * @param {any} b
 * @returns {boolean}
 */
export function same(a, b) {
  if (a === b) return true;
  if (typeof a !== "object" || typeof b !== "object" || !a || !b || Array.isArray(a) !== Array.isArray(b)) return false;
  const keys = Object.keys(a);
  return keys.length === Object.keys(b).length && keys.every((key) => Object.hasOwn(b, key) && same(a[key], b[key]));
}

/**
 * The record with `changes` ({path: value}) of a writer who saw `base` ({path: value}). Where someone else has changed the
 * same place to something else meanwhile, theirs stays and the writer's goes to `conflicts`.
 * @param {LifterRecord} record
 * @param {Changes} base
 * @param {Changes} changes
 * @param {string} tab
 */
export function merged(record, base, changes, tab) {
  const out = structuredClone(record);
  for (const [path, value] of Object.entries(changes)) {
    const mine = nothing(value) ? null : value;
    const now = valueAt(record, path);
    const saw = nothing(base[path]) ? null : base[path];
    out.conflicts = out.conflicts.filter((one) => one.path !== path || one.tab !== tab);
    if (same(now, mine)) continue;
    if (same(now, saw)) put(out, path, mine);
    else out.conflicts.push({ path, other: mine, tab });
  }
  return seal(out);
}

/**
 * The record with one value that a person chose between two.
 * @param {LifterRecord} record
 * @param {string} path
 * @param {any} value
 */
export function settled(record, path, value) {
  const out = structuredClone(record);
  put(out, path, value);
  out.conflicts = out.conflicts.filter((one) => one.path !== path);
  return seal(out);
}

/**
 * Without conflicts that are none any more, and with the time.
 * @param {LifterRecord} record
 */
export function seal(record) {
  record.conflicts = record.conflicts.filter(({ path, other }) => !same(valueAt(record, path), other));
  record.changed = new Date().toISOString();
  return record;
}

// ---- soundness

/** @typedef {(value: any) => boolean} Check */

/** @type {Check} */
const isText = (value) => typeof value === "string";
/** @type {Check} */
const isObject = (value) => typeof value === "object" && value !== null && !Array.isArray(value);
/** @type {Check} */
const ofTexts = (value) => isObject(value) && Object.values(value).every(isText);
/** @type {Check} */
const isTape = (tape) => isObject(tape) && DATE.test(tape.date) && ["cm", "in"].includes(tape.unit) && ofTexts(tape.fields) && ofTexts(tape.choices);
/** @type {Check} */
const isSetup = (setup) => isObject(setup) && isText(setup.key);
/** @type {Check} */
const isConflict = (one) => isObject(one) && isText(one.path) && "other" in one;
/** @type {(value: any, isOne: Check) => boolean} */
const listOf = (value, isOne) => Array.isArray(value) && value.every(isOne);
/** @type {Record<string, Check>} */
const SOUND = {
  id: isText,
  version: (value) => value === VERSION,
  name: isText,
  archived: (value) => typeof value === "boolean",
  notes: isText,
  created: isText,
  changed: isText,
  tapes: (value) => listOf(value, isTape) && new Set(value.map((/** @type {Tape} */ tape) => tape.date)).size === value.length,
  setups: (value) => listOf(value, isSetup),
  trials: (value) => isObject(value) && isText(value.log) && Array.isArray(value.pending) && Number.isInteger(value.revision),
  preference: (value) => value === null || (typeof value === "number" && value >= 0 && value <= 1),
  preference_from: isText,
  choice: (value) => value === null || isObject(value),
  cautions_read: (value) => typeof value === "boolean",
  conflicts: (value) => listOf(value, isConflict),
};

/**
 * The first part that is not as it must be; nothing for a sound record.
 * @param {any} record
 * @returns {string | null}
 */
export function faultOf(record) {
  if (!isObject(record)) return "record";
  return Object.keys(SOUND).find((part) => !SOUND[part](record[part])) ?? null;
}
