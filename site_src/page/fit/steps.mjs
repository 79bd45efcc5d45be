// The steps of a way as they are kept: setups whose key ends in way-1, way-2, …, each with its day. An `answer` ("kept" or "back") and the day
// it was given (`answered`) are put on a step when it is over; one without is open. Earlier editions carry both along unread. Nothing here has a DOM.

const STEP = /^\d{4}-\d\d-\d\d-way-(\d+)$/;
const DAY_MS = 86_400_000;

/** @typedef {Kept.Setup & { date: string, answer?: "kept" | "back", answered?: string }} Step */
/** @typedef {{ [key: string]: Kept.Setup | null }} Changes setups by key; null: taken out */

/** @param {string} key */
const numberOf = (key) => Number(STEP.exec(key)?.[1] ?? 0);

/** The steps of the last way, by day. @param {Kept.Setup[]} setups @returns {Step[]} */
export function stepsOf(setups) {
  const steps = /** @type {Step[]} */ (setups.filter(({ key, date }) => numberOf(key) && date)).sort((a, b) => (a.date < b.date ? -1 : 1));
  return steps.slice(steps.findLastIndex(({ key }) => numberOf(key) === 1));
}

/** What a step is kept without. @param {Kept.Setup} setup @returns {Kept.Choice} its parts, in m or ° */
export const partsOf = (setup) => /** @type {Kept.Choice} */ (Object.fromEntries(Object.entries(setup).filter(([, value]) => typeof value === "number")));

/**
 * `asked`: the open step whose day has come; `next`: the open one after it, or the first whose day is yet to come; `stands`: the last one kept.
 * @param {Kept.Setup[]} setups @param {string} today
 */
export function wayAt(setups, today) {
  const steps = stepsOf(setups);
  const open = steps.filter(({ answer }) => !answer);
  const asked = open.find(({ date }) => date <= today) ?? null;
  const next = open.find((step) => step !== asked) ?? null;
  return { asked, next, stands: steps.findLast(({ answer }) => answer === "kept") ?? null };
}

/** @param {string} date @param {number} days */
const later = (date, days) => new Date(Date.parse(date) + days * DAY_MS).toISOString().slice(0, 10);

/**
 * What changes when the step that is asked for is answered: kept, the steps after it start no earlier than today; back, they go.
 * @param {Kept.Setup[]} setups @param {"kept" | "back"} answer @param {string} today @returns {Changes}
 */
export function answered(setups, answer, today) {
  const { asked, next } = wayAt(setups, today);
  if (!asked) return {};
  const after = stepsOf(setups).filter((step) => !step.answer && step !== asked);
  const wait = next ? Math.max(0, Math.round((Date.parse(today) - Date.parse(next.date)) / DAY_MS)) : 0;
  const moved = after.filter(() => answer === "back" || wait).map((step) => [step.key, answer === "back" ? null : { ...step, date: later(step.date, wait) }]);
  return { [asked.key]: { ...asked, answer, answered: today }, ...Object.fromEntries(moved) };
}

/** A new way in place of what was open of the one before. @param {Kept.Setup[]} setups @param {Kept.Setup[]} steps @returns {Changes} */
export function begun(setups, steps) {
  const open = stepsOf(setups).filter(({ answer }) => !answer);
  return { ...Object.fromEntries(open.map(({ key }) => [key, null])), ...Object.fromEntries(steps.map((step) => [step.key, step])) };
}
