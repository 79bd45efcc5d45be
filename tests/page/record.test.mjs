// A lifter's record: soundness, paths, texts under another unit, and two writers' changes put together.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";

import { convert, plainNumber } from "../../dist/page/shared/lengths.mjs";
import {
  blank, faultOf, fromEarlierKeep, merged, nothingOfLift, ofVersion1, requestOf, same, settled, tapeOf, textUnder, today, typedFrom, unitWords, valueAt,
} from "../../dist/page/shared/record.mjs";
import { core } from "./from_core.mjs";

const read = (path) => JSON.parse(readFileSync(new URL(`../../${path}`, import.meta.url), "utf8"));
const golden = read("tests/core/lifters-2.json").lifters;
const older = read("tests/core/lifters-1.json").lifters; // as version 1 wrote them
const schema = read("core/shortlever/roster/lifters-2.schema.json").$defs;
const DAY = "2031-05-05";

function lifter(more = {}) {
  const tapes = [
    { date: "2031-01-02", unit: "in", fields: { arm_length: "24 1/2" }, choices: { rules: "ipf" } },
    { date: DAY, unit: "cm", fields: { arm_length: "62", shoulder_breadth: "39" }, choices: {} },
  ];
  return { ...blank("one"), name: "Mara Feld", tapes, ...more }; // invented
}

const withBench = (kept, record = lifter()) => ({ ...record, lifts: { bench: { ...nothingOfLift(), ...kept } } });

// ---- soundness

test("records of the golden file are sound, and a new one has the parts that the schema asks for", () => {
  assert.ok(golden.length);
  for (const record of golden) assert.equal(faultOf(record), null, record.name);
  assert.deepEqual(Object.keys(blank("x")).sort(), schema.lifter.required.toSorted());
  assert.deepEqual(Object.keys(nothingOfLift()).sort(), schema.of_lift.required.toSorted());
  assert.equal(faultOf(withBench({})), null);
  assert.equal(faultOf(blank("guest")), null, "a guest has no name");
  assert.equal(faultOf(blank("x")).place, "name");
});

test("each part that is not as it must be is named", () => {
  const wrong = {
    id: 7, version: 1, name: null, archived: "no", notes: 1, created: 0, changed: undefined, lift: "Bench", tapes: {}, lifts: [], conflicts: 1,
  };
  assert.deepEqual(Object.keys(wrong).sort(), schema.lifter.required.toSorted());
  for (const [part, value] of Object.entries(wrong)) {
    const { place, keyword, limit } = faultOf({ ...lifter(), [part]: value });
    assert.deepEqual(keyword === "required" ? [place, limit] : [place], keyword === "required" ? ["record", part] : [part]);
  }
  const ofLift = {
    setups: [{}], trials: { log: "", pending: [] }, preference: 1.01, preference_from: null, choice: [1], cautions_read: 1,
  };
  assert.deepEqual(Object.keys(ofLift).sort(), schema.of_lift.required.toSorted());
  for (const [part, value] of Object.entries(ofLift)) assert.match(faultOf(withBench({ [part]: value })).place, new RegExp(`^lifts/bench/${part}`));
  for (const [tape, place] of [[{ unit: "mm" }, "unit"], [{ fields: { arm_length: 62 } }, "fields/arm_length"], [{ choices: null }, "choices"]]) {
    assert.equal(faultOf(lifter({ tapes: [{ ...lifter().tapes[0], ...tape }] })).place, `tapes/0/${place}`);
  }
  assert.equal(faultOf(lifter({ tapes: [lifter().tapes[0], lifter().tapes[0]] })).place, "tapes/1/date"); // one a day
  assert.equal(faultOf(lifter({ tapes: lifter().tapes.toReversed() })).place, "tapes/1/date");
  assert.equal(faultOf(withBench({ setups: [{ key: "a" }, { key: "a" }] })).place, "lifts/bench/setups/1/key");
  assert.deepEqual(faultOf(lifter({ notes: "x".repeat(1_000_001) })), { place: "notes", keyword: "maxLength", limit: 1_000_000 });
  for (const nothing of [null, [], "text"]) assert.equal(faultOf(nothing).place, "record");
});

test("a change that waits must be one that the core knows", () => {
  const change = { what: "undo", at: "2031-05-05T18:00:00.000Z" };
  const pending = (more) => faultOf(withBench({ trials: { log: "", pending: [{ ...change, ...more }], revision: 0 } }));
  assert.equal(pending({}), null);
  for (const more of [{ what: "toString" }, { what: "add_set" }, { at: "now" }, { number: 1 }]) assert.equal(pending(more).keyword, "anyOf");
});

// ---- from version 1

test("a record of version 1 becomes what the core makes of it; one that is damaged stays as it is", () => {
  assert.equal(core.of_version_1.length, older.length + 1);
  for (const [kept, now] of core.of_version_1) {
    assert.deepEqual(ofVersion1(kept), now);
    assert.equal(faultOf(now), null);
  }
  for (const record of golden) assert.equal(ofVersion1(record), record);
  for (const nothing of [null, undefined, "text", 7]) assert.equal(ofVersion1(nothing), nothing);
  const damaged = { ...older[0], setups: "none" };
  assert.equal(ofVersion1(damaged), damaged);
  assert.equal(faultOf(damaged).keyword, "required");
});

// ---- typed texts

test("a text comes back as typed after the switch was turned", () => {
  for (const [key, text] of [["arm_length", "61,5"], ["arm_length", "24 1/2"], ["body_mass", "83"]]) {
    for (const [typed, now] of [["cm", "in"], ["in", "cm"], ["cm", "cm"]]) {
      assert.deepEqual(typedFrom(textUnder(now, key, { text, unit: typed }), key, now), { text, unit: typed });
    }
  }
});

test("a text means the same under the other unit, as the core reads it", () => {
  for (const { key, text, unit, value } of core.tape_texts) {
    const other = unit === "cm" ? "in" : "cm";
    const moved = textUnder(other, key, { text, unit });
    const named = moved.split("\u00a0");
    if (named.length === 2) { // the unit that was not typed with it
      const [si, size] = key === "body_mass" ? ["kg", 1] : ["cm", 100];
      assert.ok(Math.abs(convert(plainNumber(named[0]), named[1], si) / size / value - 1) < 1e-8, moved);
    } else assert.match(text, /[a-z]$/);
    assert.deepEqual(typedFrom(moved, key, other), named.length === 2 ? { text, unit } : { text, unit: other });
    assert.equal(textUnder(unit, key, { text, unit }), text);
  }
  assert.deepEqual(unitWords("body_mass"), { cm: "kg", in: "lb" });
  assert.equal(textUnder("in", "arm_length", { text: "  ", unit: "cm" }), "  ");
});

test("what an earlier version kept becomes a record; damaged text becomes none", () => {
  const kept = { typed: { unit: "cm", typed: { arm_length: { text: "24", unit: "in" }, stature: { text: " ", unit: "cm" } } }, preference: 0.3 };
  const record = fromEarlierKeep("kept-earlier", "Kept", JSON.stringify(kept));
  assert.equal(faultOf(record), null);
  assert.deepEqual(record.tapes, [{ date: today(), unit: "cm", fields: { arm_length: "24\u00a0in" }, choices: {} }]);
  assert.equal(record.lifts.bench.preference, 0.3);
  assert.equal(fromEarlierKeep("x", "y", "{"), null);
  assert.equal(fromEarlierKeep("x", "y", "{}"), null);
  assert.equal(fromEarlierKeep("x", "y", JSON.stringify({ ...kept, preference: 7 })), null);
});

test("a day is the one of the person's own clock", () => {
  assert.equal(today(new Date(2031, 4, 5, 0, 0, 1)), DAY);
  assert.equal(today(new Date(2031, 11, 31, 23, 59, 59)), "2031-12-31");
});

// ---- paths

test("a value by its path; a tape of a new day starts from the one before", () => {
  const record = withBench({ setups: [{ key: "a", text: "Grip 72" }] });
  assert.equal(valueAt(record, "name"), "Mara Feld");
  assert.equal(valueAt(record, "notes"), null);
  assert.equal(valueAt(record, "lifts/bench/setups/a").text, "Grip 72");
  assert.equal(valueAt(record, "lifts/bench/setups/b"), null);
  assert.equal(valueAt(record, "lifts/squat/preference"), null);
  assert.equal(valueAt(record, `tapes/${DAY}/fields/arm_length`), "62");
  assert.equal(valueAt(record, "tapes/2031-03-01/fields/arm_length"), "24 1/2");
  assert.equal(valueAt(record, "tapes/2031-03-01/unit"), "in");
  assert.equal(valueAt(record, "tapes/2031-03-01"), null);
  assert.equal(valueAt(record, `tapes/${DAY}/fields/stature`), null);
  assert.equal(tapeOf(record).date, DAY);
  assert.equal(tapeOf(record, "2031-05-04").date, "2031-01-02");
  assert.equal(tapeOf(blank("x")), null);
  assert.deepEqual(requestOf(record.tapes[0]), { unit: "in", fields: { arm_length: "24 1/2" }, rules: "ipf" });
});

test("a change by its path is read back, and touches nothing else", () => {
  const record = lifter();
  const cases = {
    name: "New", archived: true, "lifts/bench/preference": 0.25, "lifts/squat/choice": { grip_m: 0.7, touch_m: 0.18 },
    "lifts/bench/setups/k": { key: "k", text: "t" }, lift: "squat",
    [`tapes/${DAY}/fields/arm_length`]: "63", [`tapes/${DAY}/unit`]: "in", "tapes/2031-06-01/choices/bar": "training",
    "tapes/2030-01-01": { date: "2030-01-01", unit: "cm", fields: {}, choices: {} },
  };
  for (const [path, value] of Object.entries(cases)) {
    const before = structuredClone(record);
    const after = merged(record, { [path]: valueAt(record, path) }, { [path]: value }, "tab");
    assert.deepEqual(record, before, "the given record stays as it was");
    assert.deepEqual(valueAt(after, path), value, path);
    assert.deepEqual(after.conflicts, []);
    assert.equal(faultOf(after), null);
    const [part] = path.split("/");
    for (const other of Object.keys(record)) if (other !== part && other !== "changed") assert.deepEqual(after[other], record[other], `${path}: ${other}`);
    assert.deepEqual(after.tapes.map(({ date }) => date), after.tapes.map(({ date }) => date).toSorted());
  }
  const path = "lifts/bench/setups/k";
  assert.equal(merged(withBench({ setups: [{ key: "k" }] }), { [path]: { key: "k" } }, { [path]: null }, "tab").lifts.bench.setups.length, 0);
  for (const odd of ["elsewhere/x", "toString", "constructor", "lifts/bench/toString"]) {
    assert.throws(() => merged(record, {}, { [odd]: 1 }, "tab"), RangeError, odd);
  }
});

// ---- two writers

test("same compares plain values whole", () => {
  assert.ok(same({ a: [1, { b: null }] }, { a: [1, { b: null }] }));
  for (const [one, other] of [[{ a: 1 }, { a: 2 }], [{ a: 1 }, { a: 1, b: 2 }], [[], {}], [null, {}], [1, "1"], [{ a: undefined }, { b: 1 }]]) {
    assert.ok(!same(one, other) && !same(other, one));
  }
});

test("of two writers to one place the first stays and the second becomes a conflict, whichever comes first", () => {
  const path = `tapes/${DAY}/fields/arm_length`;
  const base = { [path]: "62" };
  const first = merged(lifter(), base, { [path]: "63" }, "one");
  const both = merged(first, base, { [path]: "64" }, "two");
  assert.equal(valueAt(both, path), "63");
  assert.deepEqual(both.conflicts, [{ path, other: "64", tab: "two" }]);
  // writing on in the second tab replaces its side; agreeing, or choosing, ends it
  assert.deepEqual(merged(both, base, { [path]: "65" }, "two").conflicts, [{ path, other: "65", tab: "two" }]);
  assert.deepEqual(merged(both, base, { [path]: "63" }, "two").conflicts, []);
  const chosen = settled(both, path, "64");
  assert.equal(valueAt(chosen, path), "64");
  assert.deepEqual(chosen.conflicts, []);
});

test("writers to different places both get through, in either order", () => {
  const one = [{ name: "Mara Feld" }, { name: "M. Feld" }, "one"];
  const two = [{ notes: "" }, { notes: "left elbow" }, "two"];
  const results = [[one, two], [two, one]].map((order) => order.reduce((record, given) => merged(record, ...given), lifter()));
  for (const record of results) {
    assert.deepEqual([record.name, record.notes, record.conflicts], ["M. Feld", "left elbow", []]);
  }
});

test("nothing and an empty text are one", () => {
  assert.deepEqual(merged(lifter(), { notes: null }, { notes: "" }, "tab").conflicts, []);
  const cleared = merged(lifter(), { [`tapes/${DAY}/fields/arm_length`]: "62" }, { [`tapes/${DAY}/fields/arm_length`]: "" }, "tab");
  assert.deepEqual(tapeOf(cleared).fields, { shoulder_breadth: "39" });
});
