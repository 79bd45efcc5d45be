// The steps of a way as they are kept: which is asked for, what keeping and going back change.
import assert from "node:assert/strict";
import { test } from "node:test";

import { answered, begun, partsOf, stepsOf, wayAt } from "../../dist/page/fit/steps.mjs";

const step = (number, date, more = {}) => ({ key: `${date}-way-${number}`, name: `Step ${number}`, date, grip_m: 0.6 + 0.03 * number, touch_m: 0.1, text: `grip ${number}`, ...more });
const WAY = [step(1, "2031-02-24"), step(2, "2031-03-03"), step(3, "2031-03-10")];
const OTHER = { key: "2031-02-24-600-100", name: "", date: "2031-02-24", grip_m: 0.6 };
const after = (setups, changes) => [...setups.filter(({ key }) => !(key in changes)), ...Object.values(changes).filter(Boolean)];
const names = (...steps) => steps.map((one) => one?.name ?? null);

test("a step is asked for from its day on, and the one after it is next", () => {
  const at = (today) => { const { asked, next, stands } = wayAt([OTHER, ...WAY], today); return names(asked, next, stands); };
  assert.deepEqual(at("2031-02-23"), [null, "Step 1", null]);
  assert.deepEqual(at("2031-02-24"), ["Step 1", "Step 2", null]);
  assert.deepEqual(at("2031-03-20"), ["Step 1", "Step 2", null], "one after the other, however late");
  assert.deepEqual(wayAt([OTHER], "2031-02-24"), { asked: null, next: null, stands: null });
});

test("kept in time, the days stay; kept late, the rest starts today, over the end of a month", () => {
  const inTime = answered(WAY, "kept", "2031-03-02");
  assert.deepEqual(Object.keys(inTime), [WAY[0].key]);
  assert.deepEqual(inTime[WAY[0].key], { ...WAY[0], answer: "kept", answered: "2031-03-02" });
  const late = answered(WAY, "kept", "2031-03-27");
  assert.deepEqual(stepsOf(after(WAY, late)).map(({ date }) => date), ["2031-02-24", "2031-03-27", "2031-04-03"]);
  const { asked, next, stands } = wayAt(after(WAY, late), "2031-03-27");
  assert.deepEqual(names(asked, next, stands), ["Step 2", "Step 3", "Step 1"]);
});

test("going back ends the way at the last step kept", () => {
  const first = after([OTHER, ...WAY], answered([OTHER, ...WAY], "kept", "2031-03-02"));
  const back = after(first, answered(first, "back", "2031-03-04"));
  const { asked, next, stands } = wayAt(back, "2031-03-30");
  assert.deepEqual(names(asked, next, stands), [null, null, "Step 1"]);
  assert.deepEqual(partsOf(stands), { grip_m: 0.63, touch_m: 0.1 });
  assert.deepEqual(back.map(({ key }) => key).sort(), [WAY[0].key, OTHER.key, WAY[1].key].sort(), "what was never begun is gone");
  const none = after(WAY, answered(WAY, "back", "2031-02-25"));
  assert.equal(wayAt(none, "2031-03-30").stands, null);
});

test("a new way takes the place of what was open, not of what was answered", () => {
  const first = after(WAY, answered(WAY, "kept", "2031-03-02"));
  const fresh = [step(1, "2031-03-05"), step(2, "2031-03-12")];
  const both = after(first, begun(first, fresh));
  assert.deepEqual(both.map(({ key }) => key).sort(), [WAY[0].key, ...fresh.map(({ key }) => key)].sort());
  assert.deepEqual(names(wayAt(both, "2031-03-06").asked), ["Step 1"]);
  assert.equal(wayAt(both, "2031-03-06").stands, null, "kept on another way");
});
