// The trial as it stands: the folded log and the changes that wait, put together without Python. It holds what the entry and the
// list need; the verdict, and whether a change is accepted, is the core's alone, and its log replaces this one within moments.

import { convert } from "./lengths.mjs";
import { countOf, loadOf } from "./typed.mjs";

const LETTERS = ["A", "B", "C", "D"];
/** @type {{ [many: number]: number[] }} */
const WAY_OUT = { 2: [0, 1], 3: [0, 1, 2], 4: [0, 1, 3, 2] };
/** @type {Kept.Log} */
const EMPTY = { candidates: [], sets: [], steps: [], earlier: [], next_number: 1, formula: null, margin_percent: 2, sets_each: 12 };

/** @param {{ set: Kept.Entry }} change @param {Pick<Kept.SetRecord, "number" | "date" | "measured">} of @returns {Kept.SetRecord | null} */
function recordOf(change, { number, date, measured = null }) {
  const { candidate, load, unit, reps, reserve, touched = true, pain = false } = change.set;
  const read = loadOf(String(load), unit);
  const whole = countOf(String(reps));
  const left = countOf(String(reserve));
  if (!read || whole === null || left === null) return null;
  return { number, date, candidate, load_kg: Number(convert(read.number, read.unit, "kg").toPrecision(9)), reps: whole, reps_in_reserve: left, touched, pain, measured };
}

/** @template T @param {T[]} list @param {number} place @param {T} value */
const changed = (list, place, value) => list.map((one, i) => (i === place ? value : one));
/** @param {Kept.Log} state @param {number} number */
const numbered = (state, number) => state.sets.findIndex((set) => set.number === number);
/** @param {Kept.Log} state @param {string} key */
const lettered = (state, key) => state.candidates.findIndex((one) => one.key === key);
/** @param {Kept.Candidate} candidate */
export const isOff = (candidate) => candidate.pain && !candidate.cleared;

/** @param {Kept.Log} state @param {string} key @returns {Kept.Log} */
function withPain(state, key) {
  const place = lettered(state, key);
  return { ...state, candidates: changed(state.candidates, place, { ...state.candidates[place], pain: true, cleared: false }) };
}

/**
 * Each gives the new state, or null for a change that does not fit.
 * @type {{ [W in Kept.What["what"]]?: (state: Kept.Log, change: Extract<Kept.Change, { what: W }>) => Kept.Log | null }}
 */
const CHANGES = {
  add_candidate(state, { candidate }) {
    const key = LETTERS.find((one) => lettered(state, one) < 0);
    if (state.candidates.some((one) => one.label === candidate.label)) return state;
    const present = Boolean(candidate.present) && !state.candidates.some((one) => one.present);
    return key ? { ...state, candidates: [...state.candidates, { ...candidate, key, present, pain: false, cleared: false }] } : null;
  },
  remove_candidate(state, { candidate: key }) {
    const place = lettered(state, key);
    if (place < 0 || isOff(state.candidates[place]) || state.sets.some((set) => set.candidate === key)) return null;
    return { ...state, candidates: state.candidates.toSpliced(place, 1) };
  },
  clear_pain(state, { candidate: key }) {
    const place = lettered(state, key);
    if (place < 0 || !isOff(state.candidates[place])) return null;
    return { ...state, candidates: changed(state.candidates, place, { ...state.candidates[place], cleared: true }) };
  },
  add_set(state, change) {
    const set = recordOf(change, { number: state.next_number, date: change.at.slice(0, 10) });
    if (!set || lettered(state, set.candidate) < 0) return null;
    const after = { ...state, sets: [...state.sets, set], next_number: set.number + 1 };
    return set.pain ? withPain(after, set.candidate) : after;
  },
  edit_set(state, change) {
    const place = numbered(state, change.number);
    const old = state.sets[place];
    const set = old && recordOf(change, old);
    if (!set || lettered(state, set.candidate) < 0) return null;
    const after = { ...state, sets: changed(state.sets, place, { ...set, measured: old.measured }) };
    return set.pain && !(old.pain && old.candidate === set.candidate) ? withPain(after, set.candidate) : after;
  },
  delete_set(state, { number }) {
    const place = numbered(state, number);
    return place < 0 ? null : { ...state, sets: state.sets.toSpliced(place, 1) };
  },
  attach_film(state, { number, measured }) {
    const place = numbered(state, number);
    return place < 0 ? null : { ...state, sets: changed(state.sets, place, { ...state.sets[place], measured }) };
  },
  formula: (state, { formula }) => ({ ...state, formula }),
  terms: (state, { margin_percent, sets_each }) => ({ ...state, margin_percent, sets_each }),
  new_trial(state, { keep }) {
    const kept = state.candidates.filter((one) => one.key === keep && !isOff(one)).map((one) => ({ ...one, present: true }));
    if (keep !== null && !kept.length) return null;
    const off = state.candidates.filter(isOff).map((one) => ({ ...one, present: false }));
    if (!state.sets.length) return null;
    const old = JSON.stringify({ ...state, earlier: [] });
    return { ...EMPTY, formula: state.formula, margin_percent: state.margin_percent, candidates: [...kept, ...off], earlier: [...state.earlier, old] };
  },
};

/** The last change of the folded log taken back by its own step; before the first one the trial before it. @param {Kept.Log} state @returns {Kept.Log | null} */
function stepBack(state) {
  const step = state.steps.at(-1);
  const [last] = state.earlier.slice(-1);
  if (!step && last && !state.sets.length) {
    return { ...EMPTY, ...JSON.parse(last), earlier: state.earlier.slice(0, -1) };
  }
  if (!step) return null;
  /** @template T @param {T[]} list @param {number | null} place @param {T | null} now @param {T | null} before */
  const back = (list, place, now, before) => (place === null ? list : list.toSpliced(place, now ? 1 : 0, ...(before ? [before] : [])));
  return {
    ...state,
    sets: back(state.sets, step.set_place, step.set_after, step.set_before),
    candidates: back(state.candidates, step.candidate_place, step.candidate_after, step.candidate_before),
    steps: state.steps.slice(0, -1),
  };
}

/** The state of a log's text and the changes after it. @param {string} log @param {Kept.Change[]} pending @returns {Kept.Log & { canUndo: boolean }} */
export function modelOf(log, pending) {
  /** @type {Kept.Log} */
  let state = log ? { ...EMPTY, ...JSON.parse(log) } : EMPTY;
  /** @type {Kept.Log[]} */
  const past = [];
  for (const change of pending) {
    if (change.what === "undo") {
      const before = past.pop() ?? stepBack(state) ?? state;
      const { next_number, formula, margin_percent, sets_each } = state; // what undo leaves alone within one trial
      const left = { next_number, formula, margin_percent, sets_each };
      state = before.earlier.length === state.earlier.length ? { ...before, ...left } : before;
      continue;
    }
    const use = /** @type {((state: Kept.Log, change: Kept.Change) => Kept.Log | null) | undefined} */ (CHANGES[change.what]);
    const after = use?.(state, change);
    if (!after || after === state) continue;
    if (change.what !== "formula" && change.what !== "terms") past.push(state);
    state = after;
  }
  return { ...state, canUndo: past.length > 0 || state.steps.length > 0 || (state.earlier.length > 0 && !state.sets.length) };
}

/** One block of the fair order: out and back, each session one further on. @param {string[]} keys @param {number} session */
export function fairOrder(keys, session) {
  const out = WAY_OUT[keys.length].map((place) => keys[(place + session) % keys.length]);
  return [...out, ...out.toReversed()];
}

/**
 * What comes next on a day; null while fewer than two setups are on the list.
 * @param {Pick<Kept.Log, "candidates" | "sets">} state @param {string} date @returns {Core.Coming | null}
 */
export function coming({ candidates, sets }, date) {
  const keys = candidates.filter((one) => !isOff(one)).map((one) => one.key);
  if (keys.length < 2) return null;
  const earlier = new Set(sets.map((set) => set.date).filter((day) => day < date)).size;
  let done = sets.filter((set) => set.date === date && keys.includes(set.candidate)).map((set) => set.candidate);
  for (let block = 0; ; block += 1) {
    const order = fairOrder(keys, earlier + block);
    const left = [...order];
    const still = [];
    for (const key of done) {
      const place = left.indexOf(key);
      if (place < 0) still.push(key);
      else left.splice(place, 1);
    }
    if (left.length) return { order, left, done: order.length - left.length, next: left[0] };
    done = still;
  }
}
