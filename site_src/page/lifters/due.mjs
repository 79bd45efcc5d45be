// What a lifter's line says beside the name: the setup of the lift in view, and what is due.

import { say } from "../../words.mjs";
import { modelOf } from "../shared/model.mjs";
import { ofLift, tapeOf, today } from "../shared/record.mjs";

const TAPE_DAYS = 182; // half a year: bodies change (common practice, no source)
const STEP = /^\d{4}-\d\d-\d\d-way-\d+$/;
const DAY_MS = 86_400_000;

/** The newest setup kept, steps to come left out; null for none. @param {Kept.Lifter} record */
export function setupOf(record, day = today()) {
  const kept = ofLift(record).setups.filter(({ date = "" }) => date <= day);
  return kept.reduce((/** @type {Kept.Setup | null} */ last, one) => (last && (last.date ?? "") > (one.date ?? "") ? last : one), null);
}

/** @type {Map<string, { of: string, open: boolean }>} by lifter: reading the sets of many takes its time */
const trials = new Map();

/** @param {string} log @param {Kept.Change[]} pending */
function mayCompare(log, pending) {
  try {
    return modelOf(log, pending).candidates.length > 1;
  } catch {
    return false; // damaged: told where the lifter is opened
  }
}

/** Whether setups are being compared. @param {Kept.Lifter} record */
function hasTrial(record) {
  const { log, pending, revision } = ofLift(record).trials;
  if (!log && !pending.length) return false;
  const of = `${revision} ${pending.length} ${log.length}`;
  const known = trials.get(record.id);
  if (known?.of === of) return known.open;
  const open = mayCompare(log, pending);
  trials.set(record.id, { of, open });
  return open;
}

/** @param {Kept.Lifter} record @returns {string[]} */
export function dueOf(record, day = today()) {
  const found = [];
  const tape = tapeOf(record);
  const age = tape ? Math.round((Date.parse(day) - Date.parse(tape.date)) / DAY_MS) : 0;
  if (age > TAPE_DAYS) found.push(say("lifters_due_tape", Math.round(age / 30.4)));
  const setups = ofLift(record).setups;
  const step = setups.filter(({ key, date = "" }) => STEP.test(key) && date <= day).at(-1);
  const later = setups.some(({ key, date = "" }) => STEP.test(key) && date > day);
  if (step && later) found.push(say("lifters_due_step", step.date));
  if (hasTrial(record)) found.push(say("lifters_due_trial"));
  return found;
}
