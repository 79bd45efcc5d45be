// A lifter's record: a value in it by path, and how two writers' changes are put together. Nothing here stores. Its shape is
// core/shortlever/roster/lifters-2.schema.json; shapes.mjs is made from that.
//
//   {id, version: 2, name, archived, notes, created, changed, lift: the one last looked at,
//    tapes: [{date, unit, fields: {key: text as typed}, choices: {key: value}}],   by date, one a day
//    lifts: {LIFT: {setups: [{key, name, date, grip_m, touch_m, text}], trials: {log, pending, revision},
//                   preference, preference_from, choice, cautions_read}},          what belongs to a lift
//    (a setup that is a step of a way has an `answer` once it is over, "kept" or "back", and the day `answered`)
//    conflicts: [{path, other, tab}]}        what a second tab wrote where the first had written something else
//
// Paths: "name", "notes", "archived", "lift", "tapes/DATE", "tapes/DATE/unit", "tapes/DATE/fields/KEY", "tapes/DATE/choices/KEY",
// "lifts/LIFT/preference" and so on, "lifts/LIFT/setups/KEY". A value of null (or an empty text) is nothing.

import { KINDS, UNNAMED } from "../../lifts.mjs";
import { namesItsUnit } from "./lengths.mjs";
import { LIFT, ofLiftHere } from "./lift.mjs";
import { isLifter } from "./shapes.mjs";

export const VERSION = 2;
export const GUEST = "guest";
export { LIFT };
/** @type {Pick<Kept.Lifter, "name" | "notes" | "archived" | "lift">} */
const PLAIN = { name: "", notes: "", archived: false, lift: UNNAMED };
/** @type {Omit<Kept.OfLift, "setups" | "trials">} */
const PLAIN_OF_LIFT = { preference: null, preference_from: "", choice: null, cautions_read: false };
const LONGEST_TYPED = 200; // as in the schema
const DATE = /^\d{4}-\d\d-\d\d$/;

/** A name that nothing else has, of so many characters, two a byte. */
export const newId = (length = 32) => Array.from(crypto.getRandomValues(new Uint8Array(length / 2)), (byte) => byte.toString(16).padStart(2, "0")).join("");

/** @param {string} id @returns {Kept.Lifter} */
export function blank(id) {
  const now = new Date().toISOString();
  return {
    id, version: VERSION, name: "", archived: false, notes: "", created: now, changed: now, lift: LIFT, tapes: [], lifts: {}, conflicts: [],
  };
}

/** What is kept of a lift of which nothing is kept yet. @returns {Kept.OfLift} */
export const nothingOfLift = () => ({ setups: [], trials: { log: "", pending: [], revision: 0 }, ...PLAIN_OF_LIFT });

/** What is kept of a lift, to be read. @param {Pick<Kept.Lifter, "lifts">} record @returns {Kept.OfLift} */
export function ofLift({ lifts }, lift = LIFT) {
  return Object.hasOwn(lifts, lift) ? lifts[lift] : nothingOfLift();
}

/** The same to be changed: it is in the record from then on. @param {Kept.Lifter} record @returns {Kept.OfLift} */
export function inLift(record, lift = LIFT) {
  record.lifts[lift] = ofLift(record, lift);
  return record.lifts[lift];
}

/** The path of a part of a lift. @param {string} part */
export const inThisLift = (part, lift = LIFT) => `lifts/${lift}/${part}`;

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
  return ofLiftHere({ unit: tape.unit, fields: { ...tape.fields }, ...tape.choices });
}

/** What a lifter is fitted by: the newest tape, the picked setup, where on the trade-off to be; null without a tape. @param {Kept.Lifter} lifter @returns {Core.FitRequest | null} */
export function fitRequestOf(lifter) {
  const tape = tapeOf(lifter);
  if (!tape) return null;
  const { choice, preference } = ofLift(lifter);
  return { ...requestOf(tape), ...(choice && { choice }), ...(preference !== null && { preference }) };
}

// ---- typed texts

/** @type {{ [kind: string]: { cm: Kept.Unit, in: Kept.Unit } }} */
export const UNITS = { length: { cm: "cm", in: "in" }, mass: { cm: "kg", in: "lb" }, angle: { cm: "°", in: "°" } }; // by the unit switch
/** @type {Kept.UnitSwitch[]} */
const SWITCHES = ["cm", "in"];
const JOINT = "\u00a0"; // between a text and the unit that was not typed with it

/** @param {string} key @returns {{ cm: Kept.Unit, in: Kept.Unit }} */
export const unitWords = (key) => UNITS[KINDS[key] ?? "length"];

/**
 * What was typed while the switch stood at `typed.unit`, as a text that means the same under `unit`.
 * @param {Kept.UnitSwitch} unit @param {string} key @param {Kept.Typed} typed
 */
export function textUnder(unit, key, { text, unit: own }) {
  const units = unitWords(key);
  return units[own] === units[unit] || !text.trim() || namesItsUnit(text) ? text : text + JOINT + units[own];
}

/** What was typed, back from such a text. @param {string} text @param {string} key @param {Kept.UnitSwitch} unit @returns {Kept.Typed} */
export function typedFrom(text, key, unit) {
  const [typed, word] = text.split(JOINT);
  const own = word && SWITCHES.find((one) => unitWords(key)[one] === word);
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
    const lifts = { [UNNAMED]: { ...nothingOfLift(), choice, preference, cautions_read: readCautions } };
    const record = { ...blank(id), name, tapes, lifts, lift: UNNAMED };
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
  let value = Object.hasOwn(record, part) ? record[/** @type {keyof Kept.Lifter} */ (part)] : null;
  if (part === "lifts") {
    const kept = ofLift(record, key);
    if (inside === "setups") value = ofKey(kept.setups, "key", name);
    else value = Object.hasOwn(kept, inside) ? kept[/** @type {keyof Kept.OfLift} */ (inside)] : null;
  } else if (part === "tapes") {
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
  if (Object.hasOwn(PLAIN, part)) Object.assign(record, { [part]: value ?? PLAIN[/** @type {keyof typeof PLAIN} */ (part)] });
  else if (part === "lifts" && Object.hasOwn(PLAIN_OF_LIFT, inside)) {
    Object.assign(inLift(record, key), { [inside]: value ?? PLAIN_OF_LIFT[/** @type {keyof typeof PLAIN_OF_LIFT} */ (inside)] });
  } else if (part === "lifts" && inside === "setups" && name) {
    const kept = inLift(record, key);
    kept.setups = withItem(kept.setups, "key", name, /** @type {Kept.Setup | null} */ (value));
  } else if (part === "tapes" && DATE.test(key)) {
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
    const saw = Object.hasOwn(base, path) && !nothing(base[path]) ? base[path] : null;
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

/** A record that was put aside, as it is. @param {string} id @param {unknown} raw @param {Kept.Fault | null} fault @returns {Kept.Damaged} */
export const brokenOne = (id, raw, fault) => ({ id, raw, fault: fault?.place ?? null, found: new Date().toISOString() });

/** @param {unknown} value @returns {value is Kept.ByPath} */
const isObject = (value) => typeof value === "object" && value !== null && !Array.isArray(value);

/** Where the first item is that goes wrong with one before it; -1 where none does. @template T @param {T[]} list @param {(one: T, before: T[]) => boolean} isWrong */
const firstWrong = (list, isWrong) => list.findIndex((one, i) => isWrong(one, list.slice(0, i)));

/** The first part that is not as it must be; null for a sound record. @param {any} record @returns {Kept.Fault | null} */
export function faultOf(record) {
  const whole = isObject(record) && record.id === GUEST ? { ...record, name: record.name || GUEST } : record; // a guest has no name
  if (!isLifter(whole)) {
    const { instancePath, keyword, params } = isLifter.errors?.at(-1) ?? {};
    return { place: String(instancePath).slice(1) || "record", keyword: String(keyword), limit: params?.limit ?? params?.missingProperty };
  }
  const { tapes, lifts } = /** @type {Kept.Lifter} */ (record);
  const tape = firstWrong(tapes, ({ date }, before) => before.some((one) => one.date >= date));
  if (tape >= 0) return { place: `tapes/${tape}/date`, keyword: "order" };
  for (const [lift, { setups }] of Object.entries(lifts)) {
    const setup = firstWrong(setups, ({ key }, before) => before.some((one) => one.key === key));
    if (setup >= 0) return { place: `lifts/${lift}/setups/${setup}/key`, keyword: "order" };
  }
  return null;
}

/** A text without halves of characters, which no file holds. @param {string} text */
export const whole = (text) => text.replace(/[\uD800-\uDFFF]/gu, "");

/** What is kept of a text of version 1; anything else as it is. @param {unknown} text */
const kept = (text, most = Infinity) => (typeof text === "string" ? [...whole(text)].slice(0, most).join("") : text);

/** @param {unknown} texts */
const typedKept = (texts) => (isObject(texts) ? Object.fromEntries(Object.entries(texts).map(([key, text]) => [key, kept(text, LONGEST_TYPED)])) : texts);

/**
 * A record of version 1, when the bench press was the only lift, as one of now; any other value, and what is damaged, as it is.
 * Halves of characters, and texts of tapes that are too long, were kept then: see the core's `of_version_1`.
 * @param {any} record
 */
export function ofVersion1(record) {
  if (!isObject(record) || record.version !== 1) return record;
  const { setups, trials, preference, preference_from, choice, cautions_read, conflicts, name, notes, tapes, ...person } = record;
  const ofOneLift = ["setups", "preference", "preference_from", "choice", "cautions_read"];
  const moved = Array.isArray(conflicts)
    ? conflicts.map((one) => (ofOneLift.includes(one?.path?.split("/")[0]) ? { ...one, path: inThisLift(one.path, UNNAMED) } : one))
    : conflicts;
  const lifts = { [UNNAMED]: { setups, trials, preference, preference_from, choice, cautions_read } };
  const taped = Array.isArray(tapes) ? tapes.map((tape) => (isObject(tape) ? { ...tape, fields: typedKept(tape.fields), choices: typedKept(tape.choices) } : tape)) : tapes;
  const made = { ...person, name: kept(name), notes: kept(notes), tapes: taped, version: VERSION, lift: UNNAMED, lifts, conflicts: moved };
  return faultOf(made) ? record : made;
}
