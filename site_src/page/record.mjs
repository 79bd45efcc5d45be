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

export const VERSION = 1;
export const GUEST = "guest";
/** @type {Pick<Kept.Lifter, "name" | "notes" | "archived" | "preference" | "preference_from" | "choice" | "cautions_read">} */
const PLAIN = { name: "", notes: "", archived: false, preference: null, preference_from: "", choice: null, cautions_read: false };
const DATE = /^\d{4}-\d\d-\d\d$/;

/** @param {string} id @returns {Kept.Lifter} */
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

/** The newest tape, up to a date if one is given. @param {Pick<Kept.Lifter, "tapes">} record */
export function tapeOf(record, date = "9999-99-99") {
  return record.tapes.filter((tape) => tape.date <= date).at(-1) ?? null;
}

/** A tape as the core's request: unit, typed texts, and what was chosen. @param {Kept.Tape} tape @returns {Core.FitRequest} */
export function requestOf(tape) {
  return { unit: tape.unit, fields: { ...tape.fields }, ...tape.choices };
}

// ---- typed texts

/** @type {{ length: { cm: Kept.Unit, in: Kept.Unit }, mass: { cm: Kept.Unit, in: Kept.Unit } }} */
const UNIT_WORDS = { length: { cm: "cm", in: "in" }, mass: { cm: "kg", in: "lb" } }; // by the unit switch
/** @type {Kept.UnitSwitch[]} */
const SWITCHES = ["cm", "in"];
const JOINT = "\u00a0"; // between a text and the unit that was not typed with it

/** @param {string} key @returns {{ cm: Kept.Unit, in: Kept.Unit }} */
export const unitWords = (key) => UNIT_WORDS[key === "body_mass" ? "mass" : "length"];

/**
 * What was typed while the switch stood at `typed.unit`, as a text that means the same under `unit`.
 * @param {Kept.UnitSwitch} unit @param {string} key @param {Kept.Typed} typed
 */
export function textUnder(unit, key, { text, unit: own }) {
  return own === unit || !text.trim() || namesItsUnit(text) ? text : text + JOINT + unitWords(key)[own];
}

/** What was typed, back from such a text. @param {string} text @param {string} key @param {Kept.UnitSwitch} unit @returns {Kept.Typed} */
export function typedFrom(text, key, unit) {
  const [typed, word] = text.split(JOINT);
  const own = SWITCHES.find((one) => unitWords(key)[one] === word);
  return own ? { text: typed, unit: own } : { text, unit };
}

/**
 * The record of the one lifter whose numbers an earlier version kept as a text of its own; null where it is damaged.
 * @param {string} id @param {string} name @param {string} raw
 */
export function fromEarlierKeep(id, name, raw) {
  try {
    /** @type {{ typed: { unit: Kept.UnitSwitch, typed: { [key: string]: Kept.Typed }, choices?: Kept.Texts }, choice?: Kept.Choice | null, preference?: number | null, readCautions?: boolean }} */
    const kept = JSON.parse(raw);
    const { typed: { unit, typed, choices = {} }, choice = null, preference = null, readCautions = false } = kept;
    const fields = Object.entries(typed).map(([key, one]) => [key, textUnder(unit, key, one)]).filter(([, text]) => text.trim());
    const tapes = [{ date: today(), unit, fields: Object.fromEntries(fields), choices }];
    const record = { ...blank(id), name, tapes, choice, preference, cautions_read: readCautions };
    return faultOf(record) ? null : record;
  } catch {
    return null;
  }
}

// ---- one value by its path

/** @template T @param {T[]} list @param {keyof T} name @param {string} key */
const ofKey = (list, name, key) => list.find((item) => item[name] === key);
const nothing = (/** @type {unknown} */ value) => value === undefined || value === "";

/** A tape that is not there yet reads as the one before it: that is what it starts from. @param {Kept.Lifter} record @param {string} date */
const tapeAt = (record, date) => ofKey(record.tapes, "date", date) ?? tapeOf(record, date) ?? tapeOf(record);

/** @param {Kept.Lifter} record @param {string} path @returns {unknown} */
export function valueAt(record, path) {
  const [part, key, inside, name] = path.split("/");
  /** @type {unknown} */
  let value = record[/** @type {keyof Kept.Lifter} */ (part)];
  if (part === "setups") value = ofKey(record.setups, "key", key);
  else if (part === "tapes") {
    if (!inside) value = ofKey(record.tapes, "date", key);
    else value = inside === "unit" ? tapeAt(record, key)?.unit : tapeAt(record, key)?.[/** @type {"fields" | "choices"} */ (inside)][name];
  }
  return nothing(value) ? null : value;
}

/** @template {object} T @param {T[]} list @param {keyof T} name @param {string} key @param {T | null} value */
function withItem(list, name, key, value) {
  const rest = list.filter((item) => item[name] !== key);
  return value === null ? rest : [...rest, { ...value, [name]: key }];
}

/** @param {Kept.Tape[]} tapes @param {string} date @param {Kept.Tape | null} value */
function withTape(tapes, date, value) {
  return withItem(tapes, "date", date, value).sort((a, b) => (a.date < b.date ? -1 : 1));
}

/** @param {Kept.Lifter} record @param {string} path @param {unknown} given */
function put(record, path, given) {
  const value = nothing(given) ? null : given;
  const [part, key, inside, name] = path.split("/");
  if (part in PLAIN) Object.assign(record, { [part]: value ?? PLAIN[/** @type {keyof typeof PLAIN} */ (part)] });
  else if (part === "setups" && key) record.setups = withItem(record.setups, "key", key, /** @type {Kept.Setup | null} */ (value));
  else if (part === "tapes" && DATE.test(key)) {
    let tape = /** @type {Kept.Tape | null} */ (value);
    if (inside) {
      tape = structuredClone(tapeAt(record, key) ?? { date: key, unit: "cm", fields: {}, choices: {} });
      const texts = tape[/** @type {"fields" | "choices"} */ (inside)];
      if (inside === "unit") tape.unit = /** @type {Kept.UnitSwitch} */ (value ?? "cm");
      else if (value === null) delete texts[name];
      else texts[name] = /** @type {string} */ (value);
    }
    record.tapes = withTape(record.tapes, key, tape);
  } else throw new RangeError(`no part of a record: ${path}`);
}

// ---- two writers

/** @param {unknown} a @param {unknown} b @returns {boolean} */
export function same(a, b) {
  if (a === b) return true;
  if (typeof a !== "object" || typeof b !== "object" || !a || !b || Array.isArray(a) !== Array.isArray(b)) return false;
  const [one, other] = /** @type {Kept.ByPath[]} */ ([a, b]);
  const keys = Object.keys(one);
  return keys.length === Object.keys(other).length && keys.every((key) => Object.hasOwn(other, key) && same(one[key], other[key]));
}

/**
 * The record with `changes` ({path: value}) of a writer who saw `base` ({path: value}). Where someone else has changed the
 * same place to something else meanwhile, theirs stays and the writer's goes to `conflicts`.
 * @param {Kept.Lifter} record @param {Kept.ByPath} base @param {Kept.ByPath} changes @param {string} tab
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

/** The record with one value that a person chose between two. @param {Kept.Lifter} record @param {string} path @param {unknown} value */
export function settled(record, path, value) {
  const out = structuredClone(record);
  put(out, path, value);
  out.conflicts = out.conflicts.filter((one) => one.path !== path);
  return seal(out);
}

/** Without conflicts that are none any more, and with the time. @param {Kept.Lifter} record */
export function seal(record) {
  record.conflicts = record.conflicts.filter(({ path, other }) => !same(valueAt(record, path), other));
  record.changed = new Date().toISOString();
  return record;
}

// ---- soundness

/** @param {unknown} value @returns {value is string} */
const isText = (value) => typeof value === "string";
/** @param {unknown} value @returns {value is Kept.ByPath} */
const isObject = (value) => typeof value === "object" && value !== null && !Array.isArray(value);
const ofTexts = (/** @type {unknown} */ value) => isObject(value) && Object.values(value).every(isText);
/** @param {unknown} tape @returns {tape is Kept.Tape} */
const isTape = (tape) => isObject(tape) && isText(tape.date) && DATE.test(tape.date) && SWITCHES.some((one) => one === tape.unit) && ofTexts(tape.fields) && ofTexts(tape.choices);
/** @param {unknown} setup @returns {setup is Kept.Setup} */
const isSetup = (setup) => isObject(setup) && isText(setup.key);
/** @param {unknown} one @returns {one is Kept.Conflict} */
const isConflict = (one) => isObject(one) && isText(one.path) && "other" in one;
/** @template T @param {unknown} value @param {(one: unknown) => one is T} isOne @returns {value is T[]} */
const listOf = (value, isOne) => Array.isArray(value) && value.every(isOne);
/** @type {{ [part in keyof Kept.Lifter]: (value: unknown) => boolean }} */
const SOUND = {
  id: isText,
  version: (value) => value === VERSION,
  name: isText,
  archived: (value) => typeof value === "boolean",
  notes: isText,
  created: isText,
  changed: isText,
  tapes: (value) => listOf(value, isTape) && new Set(value.map((/** @type {Kept.Tape} */ tape) => tape.date)).size === value.length,
  setups: (value) => listOf(value, isSetup),
  trials: (value) => isObject(value) && isText(value.log) && Array.isArray(value.pending) && Number.isInteger(value.revision),
  preference: (value) => value === null || (typeof value === "number" && value >= 0 && value <= 1),
  preference_from: isText,
  choice: (value) => value === null || isObject(value),
  cautions_read: (value) => typeof value === "boolean",
  conflicts: (value) => listOf(value, isConflict),
};

/** The first part that is not as it must be; nothing for a sound record. @param {unknown} record */
export function faultOf(record) {
  if (!isObject(record)) return "record";
  return Object.entries(SOUND).find(([part, isSound]) => !isSound(record[part]))?.[0] ?? null;
}
