// What a lifter's card says of paths, values and changes, in words.
import assert from "node:assert/strict";
import { test } from "node:test";

import { changesOf, labelOf, numberOf, valueIn } from "../../dist/page/shared/parts.mjs";

const NAMES = { arm_length: "Arm length", body_mass: "Body mass", rules: "Rules", "rules/ipf": "IPF", "rules/gym": "Gym" };
const nameOf = (key) => NAMES[key];
const tape = (unit, fields, choices = {}) => ({ date: "2031-05-05", unit, fields, choices });

test("a number goes with the unit that it was typed in", () => {
  assert.equal(numberOf("arm_length", "62", "cm"), "62 cm");
  assert.equal(numberOf("arm_length", "24\u00a0in", "cm"), "24 in");
  assert.equal(numberOf("body_mass", "176", "in"), "176 lb");
  assert.equal(numberOf("arm_length", "24 1/2 in", "cm"), "24 1/2 in");
});

test("changes between two tapes are told once each, and only what differs", () => {
  const before = tape("cm", { arm_length: "62", body_mass: "80" }, { rules: "ipf" });
  assert.deepEqual(changesOf(before, tape("cm", { arm_length: "62", body_mass: "80" }, { rules: "ipf" }), nameOf), []);
  const told = changesOf(before, tape("cm", { arm_length: "63" }, { rules: "gym" }), nameOf);
  assert.equal(told.length, 3);
  for (const [line, ...parts] of [[told[0], "Arm length", "62 cm", "63 cm"], [told[1], "Body mass", "80 kg", "–"], [told[2], "Rules", "IPF", "Gym"]]) {
    for (const part of parts) assert.ok(line.includes(part), `${line}: ${part}`);
  }
  assert.deepEqual(changesOf(null, tape("in", { arm_length: "24" }), nameOf), ["Arm length 24 in"]);
});

test("a value at a path reads as a person knows it", () => {
  assert.equal(valueIn("tapes/2031-05-05/choices/rules", "gym", nameOf), "Gym");
  assert.equal(valueIn("lifts/bench/setups/a", { key: "a", text: "Grip 72" }, nameOf), "Grip 72");
  assert.equal(valueIn("lifts/bench/setups/a", { key: "a" }, nameOf), "a");
  assert.ok(valueIn("lifts/bench/choice", { grip_m: 0.715, touch_m: 0.2 }, nameOf).includes("71.5"));
  assert.equal(valueIn("notes", "left elbow", nameOf), "left elbow");
  assert.equal(valueIn("notes", null, nameOf), valueIn("name", "", nameOf));
  assert.equal(labelOf("tapes/2031-05-05/fields/arm_length", nameOf), "Arm length");
  assert.notEqual(labelOf("tapes/2031-05-05/unit", nameOf), labelOf("name", nameOf));
});
