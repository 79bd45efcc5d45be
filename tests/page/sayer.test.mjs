// Sentences filled in, and the forms of languages that count otherwise than English.
import assert from "node:assert/strict";
import { test } from "node:test";

import { sayer } from "../../dist/page/shared/sayer.mjs";

test("parts are filled in one after the other, or where their place is named", () => {
  const say = sayer("en", { plain: "as it is", two: "{}, then {}", turned: "{1} before {0}, {1} again" });
  assert.equal(say("plain"), "as it is");
  assert.equal(say("two", "a", 2), "a, then 2");
  assert.equal(say("two", "$&", "{}"), "$&, then {}");
  assert.equal(say("turned", "a", "b"), "b before a, b again");
});

test("a text in forms goes by its counts, the first one first", () => {
  const sets = { one: "{} set", other: { one: "{} sets with one setup", other: "{} sets with {} setups, last {}" } };
  const say = sayer("en", { sets, named: { one: "{}: {} row", other: "{}: {} rows" } });
  assert.deepEqual([say("sets", 1, 1, "x"), say("sets", 3, 1, "x"), say("sets", 3, 2, "x")], ["1 set", "3 sets with one setup", "3 sets with 2 setups, last x"]);
  assert.equal(say("named", "1", 0), "1: 0 rows"); // a text is no count
});

test("the forms are those of the language", () => {
  // Unicode CLDR, plural rules: Polish has one, few, many, other; Japanese has other only
  const polish = sayer("pl", { sets: { one: "{} seria", few: "{} serie", many: "{} serii", other: "{} serii" } });
  assert.deepEqual([1, 2, 5, 12, 22].map((count) => polish("sets", count)), ["1 seria", "2 serie", "5 serii", "12 serii", "22 serie"]);
  assert.equal(sayer("ja", { sets: { other: "{}セット" } })("sets", 1), "1セット");
  assert.equal(sayer("pl", { sets: { one: "{} a", other: "{} b" } })("sets", 5), "5 b"); // a form that is left out
});
