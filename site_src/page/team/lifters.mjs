// Rows of a sheet beside the lifters of this device: who is new, who may be the same person, and what taking a row over would change.

import { say } from "../../words.mjs";
import { convert, namesItsUnit, plainNumber } from "../shared/lengths.mjs";
import { nameOf } from "../shared/names.mjs";
import { changesOf } from "../shared/parts.mjs";
import { LIFT, blank, inThisLift, nothingOfLift, ofLift, tapeOf, textUnder, today, typedFrom, unitWords, valueAt } from "../shared/record.mjs";
import { listed } from "../shared/said.mjs";
import * as store from "../shared/store.mjs";
import { withChanges } from "../shared/store/taken.mjs";

/**
 * `setup`: as it is kept, null where there is none; `twice`: a row above has the same name
 * @typedef {{ row: number, name: string, twice: boolean, sheet: Core.FitRequest, setup: Kept.Setup | null, found: Found[] }} Proposal
 * @typedef {{ record: Kept.Lifter, changes: Kept.ByPath, lines: string[] }} Found somebody here of that name
 */

/** A name by its words, however they are ordered, written and accented. @param {string} name */
const plain = (name) => name.normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase().split(/[\s,;.]+/).filter(Boolean).toSorted().join(" ");

/** The same number, however it is typed. @param {string} key @param {[string, Kept.UnitSwitch]} one @param {[string, Kept.UnitSwitch]} other */
function sameNumber(key, one, other) {
  const [a, b] = [one, other].map(([text, under]) => {
    const typed = typedFrom(text, key, under);
    const [, number, word] = /^(.*?)\s*(cm|in|kg|lb)?$/.exec(typed.text) ?? [];
    const own = /** @type {Kept.Unit} */ (word ?? unitWords(key)[typed.unit]);
    const value = namesItsUnit(typed.text) && !word ? null : plainNumber(number);
    return value === null ? typed.text : convert(value, own, unitWords(key).cm).toFixed(6);
  });
  return a === b;
}

const NO_CHOICE = ["lift", "unit", "fields", "preference"];

/** Rules, bar, comfort, sex. @param {Core.FitRequest} request */
function choicesOf(request) {
  return /** @type {Kept.Texts} */ (Object.fromEntries(Object.entries(request).filter(([key]) => !NO_CHOICE.includes(key))));
}

/** The setup of a row, as the fit screen keeps one; null without. @param {Core.RowResult | undefined} got @param {Core.Sheet["shown"]} shown @returns {Kept.Setup | null} */
function setupOf(got, shown) {
  if (!got?.ok || !got.setup) return null;
  const text = listed(shown.map(({ key, label }) => say("named", label, got.cells[key])));
  return { key: [today(), ...Object.values(got.setup).map((part) => Math.round(1000 * part))].join("-"), name: say("team_setup_name"), date: today(), ...got.setup, text };
}

/** What taking a row over changes of a lifter, by path. @param {Kept.Lifter} record @param {Core.FitRequest} request @param {Kept.Setup | null} setup */
function changesFor(record, request, setup) {
  const { unit, fields, preference = null } = request;
  const tape = tapeOf(record);
  const at = `tapes/${[today(), tape?.date ?? ""].toSorted()[1]}`;
  /** @type {Kept.ByPath} */
  const changes = {};
  for (const [key, text] of Object.entries(fields)) {
    const was = tape?.fields[key];
    if (was && tape && sameNumber(key, [was, tape.unit], [text, unit])) continue;
    changes[`${at}/fields/${key}`] = textUnder(tape?.unit ?? unit, key, { text, unit });
  }
  for (const [key, value] of Object.entries(choicesOf(request))) if (tape?.choices[key] !== value) changes[`${at}/choices/${key}`] = value;
  if (!tape) changes[`${at}/unit`] = unit;
  if (preference !== null && preference !== ofLift(record).preference) {
    changes[inThisLift("preference")] = preference;
    changes[inThisLift("preference_from")] = say("team_setup_name");
  }
  const parts = setup?.key.slice(setup.date?.length);
  if (setup && !ofLift(record).setups.some(({ key }) => key.endsWith(parts ?? ""))) changes[inThisLift(`setups/${setup.key}`)] = setup;
  return changes;
}

/** What changes, a line each. @param {Kept.Lifter} record @param {Kept.ByPath} changes */
function linesOf(record, changes) {
  const after = withChanges(record, changes);
  const [before, tape] = [tapeOf(record), tapeOf(after)];
  const lines = tape ? changesOf(before, tape, nameOf) : [];
  const leaning = inThisLift("preference");
  if (leaning in changes) lines.push(say("lifters_from_to", say("lifters_part_preference"), String(valueAt(record, leaning) ?? "–"), String(changes[leaning])));
  const had = ofLift(record).setups;
  const setup = ofLift(after).setups.find(({ key }) => !had.some((one) => one.key === key));
  if (setup) lines.push(had.length ? say("team_setup_beside", setup.text, had.length) : say("team_setup", setup.text));
  return lines;
}

/**
 * Every row with a setup beside those of its name here.
 * @param {Core.Sheet} sheet @param {import("./files.mjs").Results} results @param {Kept.Lifter[]} kept @returns {Proposal[]}
 */
export function proposalsOf(sheet, results, kept) {
  const seen = new Set();
  return sheet.rows.filter(({ row }) => results[row]?.ok).map(({ row, name: given, request }) => {
    const name = store.shortened(given);
    const called = plain(name);
    const twice = seen.has(called);
    seen.add(called);
    const setup = setupOf(results[row], sheet.shown);
    const found = kept.filter((one) => plain(one.name) === called).map((record) => {
      const changes = changesFor(record, request, setup);
      return { record, changes, lines: linesOf(record, changes) };
    });
    return { row, name, twice, sheet: request, setup, found };
  });
}

/** A row as a new lifter. @param {Proposal} proposal @returns {Kept.Lifter} */
export function newLifter({ name, sheet: request, setup }) {
  const { unit, fields, preference = null } = request;
  const from = preference === null ? "" : say("team_setup_name");
  const lifts = { [LIFT]: { ...nothingOfLift(), preference, preference_from: from, setups: setup ? [setup] : [] } };
  return { ...blank(store.newId()), name, lifts, tapes: [{ date: today(), unit, fields, choices: choicesOf(request) }] };
}
