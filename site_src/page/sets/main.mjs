// The screen of sets: every tap is stored first, then shown, then handed to Python, which folds it into the log and judges.

import { say } from "../../words.mjs";
import { listenForAwake } from "../shared/awake.mjs";
import { startCalculator } from "../shared/calculator.mjs";
import { byId, find, findAll } from "../shared/find.mjs";
import { convert } from "../shared/lengths.mjs";
import { TWICE_MS } from "../shared/press.mjs";
import { GUEST, LIFT, blank, ofLift, tapeOf, today } from "../shared/record.mjs";
import * as store from "../shared/store.mjs";
import { RestClock } from "./clock.mjs";
import { draftOf, keepDraft } from "./draft.mjs";
import { Entry, faultOf, fillLetters, prefill, shown } from "./entry.mjs";
import { handOverCsv } from "./file.mjs";
import { coming, isOff, modelOf } from "../shared/model.mjs";
import { onSetTapped, showRefused, showSets, showSetups, showVerdict, showWhose } from "./show.mjs";
import { loadOf } from "../shared/typed.mjs";

const MOST_RESTS = 20;

const formula = byId("formula", HTMLSelectElement);
const clock = new RestClock(byId("rest"));
const entry = new Entry({ changed: keepEntry, log: logOrSave });

let record = blank(GUEST);
let model = modelOf("", []);
let draft = draftOf(record);
/** @type {{ [number: number]: Core.SetRow }} */
let rows = {};
/** @type {Core.Verdict | null} */
let verdict = null; // the core's last whole answer for this record
/** @type {Promise<unknown>} */
let writing = Promise.resolve(); // taps are stored one after the other
let loggedAt = -Infinity;
/** @type {number | undefined} */
let naming; // the button's next name waits till then

const client = startCalculator(/** @type {import("../shared/calculator.mjs").Settings<Core.SetsQuestions>} */ ({
  kinds: ["fold", "verdict"],
  onResponse: (kind, response, asked) => {
    if (kind === "fold") onFolded(response, asked);
    else onJudged(response, asked);
  },
  beforeReload: () => keepDraft(record, draft),
}));

// ---- whose sets they are

async function begin() {
  const trouble = await store.open();
  const id = await store.current();
  record = await store.read(id).catch(() => store.read(GUEST));
  byId("store-trouble").hidden = true;
  if (trouble && trouble.code !== "no_storage") tellTrouble(trouble);
  draft = draftOf(record);
  verdict = null;
  byId("learned").hidden = true;
  rows = {};
  byId("whose").textContent = record.id === GUEST ? say("sets_for_guest") : say("sets_for", record.name);
  showWhose("waiting");
  refresh();
  fold();
}

function unitOf() {
  return draft.unit ?? (tapeOf(record)?.unit === "in" ? "lb" : "kg");
}

// ---- showing

function read() {
  const { log, pending } = ofLift(record).trials;
  try {
    return modelOf(log, pending);
  } catch { // a damaged log: the core says what is wrong with it
    return modelOf("", pending);
  }
}

function plan() {
  return coming(model, today());
}

function nextKey() {
  const on = model.candidates.filter((one) => !isOff(one));
  return plan()?.next ?? (on.length === 1 ? on[0].key : "");
}

function refresh() {
  model = read();
  const on = model.candidates.filter((one) => !isOff(one));
  const own = model.candidates.length > 0;
  document.documentElement.dataset.trial = own ? "own" : "none";
  if (!own) showWhose("example");
  byId("none").hidden = own;
  byId("one").hidden = !own || on.length > 1;
  byId("entry").hidden = !on.length && !editing();
  for (const id of ["list", "setups", "more"]) byId(id).hidden = !own;
  byId("guest-note").hidden = !own || record.id !== GUEST;
  showEntry();
  showSets(model, { unit: unitOf(), date: today(), editing: editing()?.number, maxima: rows });
  showSetups(model, { putBack: (key) => commit({ what: "clear_pain", candidate: key }), takeOff: (key) => commit({ what: "remove_candidate", candidate: key }) });
  showRefused(draft.refused, { again: enterAgain, drop: dropRefused });
  for (const radio of findAll(document, "#mass-unit input", HTMLInputElement)) radio.checked = radio.value === unitOf();
  if (model.formula) formula.value = model.formula;
  showSource();
}

function editing() {
  const edit = draft.edit;
  return edit && model.sets.some((set) => set.number === edit.number) ? edit : null;
}

function showEntry() {
  const edit = editing();
  entry.show(edit?.values ?? entryNow());
  entry.place(model, plan(), { editing: edit?.number ?? null });
  byId("undo").hidden = Boolean(edit);
  byId("undo", HTMLButtonElement).disabled = !model.canUndo;
  byId("cancel").hidden = byId("delete").hidden = !edit;
  nameButton();
  const last = model.sets.filter((set) => set.date === today()).at(-1);
  clock.since(last ? draft.rests[last.number] : null);
}

/** What was entered and not logged yet, else what the last set suggests. */
function entryNow() {
  const fresh = prefill(model.sets.at(-1), nextKey(), unitOf());
  if (!draft.entry) return fresh;
  const { entry: begun } = draft;
  const fits = model.candidates.some((one) => one.key === begun.candidate && !isOff(one));
  return fits ? begun : { ...begun, candidate: fresh.candidate };
}

function nameButton() {
  const { candidate, pain } = entry.values;
  const edit = editing();
  const just = loggedAt + TWICE_MS - performance.now();
  if (just > 0) {
    byId("log").textContent = say("sets_just_logged");
    clearTimeout(naming);
    naming = setTimeout(nameButton, just);
  } else byId("log").textContent = edit ? say("sets_save", edit.number) : say(pain ? "sets_log_pain" : "sets_log", model.next_number, candidate || "–");
}

/** @param {string} text */
function said(text) {
  byId("said").textContent = text;
}

/** @param {{ message: string, remedy: string }} trouble */
function tellTrouble({ message, remedy }) {
  byId("store-trouble").hidden = false;
  find(byId("store-trouble"), "p").textContent = `${message} ${remedy}`;
}

// ---- storing

/** This moment in the person's own time zone. */
function now() {
  const time = new Date();
  const two = (/** @type {number} */ number) => String(Math.abs(number)).padStart(2, "0");
  const east = -time.getTimezoneOffset();
  return `${today(time)}T${[time.getHours(), time.getMinutes(), time.getSeconds()].map(two).join(":")}${east < 0 ? "-" : "+"}${two(Math.trunc(east / 60))}:${two(east % 60)}`;
}

/** Stores a change, then shows it, then asks for it to be folded; false where the device did not take it. @param {Kept.What & { at?: string }} change */
function commit(change, next = () => {}) {
  const done = writing.catch(() => {}).then(async () => {
    try {
      record = await store.addChange(record.id, { at: now(), ...change });
    } catch (error) {
      const trouble = store.asTrouble(error);
      loggedAt = -Infinity;
      tellTrouble({ message: say("sets_not_stored", trouble.message, trouble.remedy), remedy: "" });
      return false;
    }
    byId("store-trouble").hidden = true;
    next();
    refresh();
    fold();
    if (document.documentElement.dataset.calculator !== "ready") byId("waiting").hidden = false;
    return true;
  });
  writing = done;
  return done;
}

/** @param {Kept.Entry} values */
function keepEntry(values) {
  const edit = editing();
  draft = edit ? { ...draft, edit: { ...edit, values } } : { ...draft, entry: values };
  keepDraft(record, draft);
  entry.place(model, plan(), { editing: edit?.number ?? null });
  nameButton();
}

/** The draft once a change is stored: nothing entered that is not in it, and the next setup of the fair order. @param {Partial<import("./draft.mjs").Draft>} change */
function settle(change) {
  draft = { ...draft, ...change };
  if (draft.entry && !("entry" in change)) draft.entry = { ...draft.entry, candidate: coming(read(), today())?.next ?? draft.entry.candidate };
  keepDraft(record, draft);
}

/** @param {Kept.Entry} values */
async function logOrSave(values) {
  if (performance.now() - loggedAt < TWICE_MS) return;
  const fault = faultOf(values);
  if (fault) {
    entry.tell(fault);
    return;
  }
  loggedAt = performance.now();
  const edit = editing();
  if (edit) {
    if (await commit({ what: "edit_set", number: edit.number, set: values }, () => settle({ edit: null }))) said(say("sets_saved", edit.number));
    return;
  }
  const at = now();
  const number = model.next_number;
  const rests = Object.fromEntries([...Object.entries(draft.rests), [number, at]].slice(-MOST_RESTS));
  const load = loadOf(values.load, values.unit);
  const done = await commit({ what: "add_set", at, set: values }, () => settle({ entry: null, rests }));
  if (done) said(say("sets_logged", number, values.candidate, `${load?.number} ${load?.unit}`, values.reps));
}

// ---- undo, edit, delete

/** @param {Kept.Log} before @param {Kept.Log} after */
function difference(before, after) {
  const changed = [...before.sets, ...after.sets].find((set) => {
    const text = (/** @type {Kept.Log} */ state) => JSON.stringify(state.sets.find((one) => one.number === set.number));
    return text(before) !== text(after);
  });
  if (before.earlier.length !== after.earlier.length) return say("sets_step_trial");
  return changed ? say("sets_step_set", changed.number) : say("sets_step_setups");
}

byId("undo").addEventListener("click", async () => {
  if (!model.canUndo) return said(say("sets_nothing"));
  const before = model;
  if (await commit({ what: "undo" }, () => settle({}))) said(say("sets_undone", difference(before, model)));
});

onSetTapped((number) => {
  const set = model.sets.find((one) => one.number === number);
  if (!set) return;
  const unit = unitOf();
  const values = {
    candidate: set.candidate, load: shown(set.load_kg, unit), unit, reps: String(set.reps), reserve: String(set.reps_in_reserve),
    touched: set.touched, pain: set.pain,
  };
  settle({ edit: { number, values } });
  refresh();
  scrollTo({ top: 0 });
  byId("load").focus({ preventScroll: true });
});

byId("cancel").addEventListener("click", () => {
  settle({ edit: null });
  refresh();
});

byId("delete").addEventListener("click", async () => {
  const edit = editing();
  if (!edit) return;
  const { number } = edit;
  if (await commit({ what: "delete_set", number }, () => settle({ edit: null }))) said(say("sets_deleted", number));
});

// ---- what was refused

/** @param {number} place */
function enterAgain(place) {
  const { change } = draft.refused[place];
  if (!("set" in change)) return;
  const { set } = change;
  const values = { ...prefill(null, nextKey(), unitOf()), ...set, load: String(set.load), reps: String(set.reps), reserve: String(set.reserve) };
  settle({ entry: values, edit: null, refused: draft.refused.toSpliced(place, 1) });
  refresh();
}

/** @param {number} place */
function dropRefused(place) {
  settle({ refused: draft.refused.toSpliced(place, 1) });
  refresh();
}

// ---- Python

/** @param {Core.SetsRequest["want"]} want @returns {Core.SetsRequest} */
function request(want) {
  const { log, pending, revision } = ofLift(record).trials;
  return { want, lift: LIFT, log, pending, revision, unit: unitOf(), date: today(), of: record.id };
}

function fold() {
  client.ask("fold", request("sets/fold"));
}

/** @param {Core.Refused} refused */
function tellErrors({ errors: [problem] }) {
  tellTrouble(problem);
}

/** @param {Core.Folded | Core.Refused} response @param {Core.SetsRequest} asked */
async function onFolded(response, { of, revision = 0 }) {
  if (of !== record.id) return;
  if (!response.ok) return tellErrors(response);
  byId("waiting").hidden = true;
  rows = Object.fromEntries(response.rows.map((row) => [row.number, row]));
  if (response.refused.length) settle({ refused: [...draft.refused, ...response.refused] }); // before they leave the record
  if (response.folded) {
    try {
      ({ record } = await store.fold(of, revision, response.log, response.folded));
    } catch (error) {
      return tellTrouble(store.asTrouble(error));
    }
  }
  refresh();
  if (ofLift(record).trials.pending.length) fold();
  else client.ask("verdict", request("sets/verdict"));
}

/** @param {Core.Verdict | Core.Refused} response @param {Core.SetsRequest} asked */
async function onJudged(response, { of }) {
  if (of !== record.id) return;
  if (!response.ok) return tellErrors(response);
  verdict = response;
  rows = Object.fromEntries(response.rows.map((row) => [row.number, row]));
  if (!model.candidates.length) return;
  showVerdict(response);
  await learn(response);
}

// ---- what the sets teach the fit screen

const learnedFrom = (/** @type {Core.Verdict} */ { rows: sets }) => say("sets_learned_from", sets.length);
const forgottenFrom = (/** @type {Core.Verdict} */ { rows: sets }) => say("sets_forgotten_from", sets.length);

/** Keeps what a decided trial implies, unless a person has had just that forgotten; shows what is kept. @param {Core.Verdict} judged */
async function learn(judged) {
  const { preference, preference_from } = ofLift(record);
  const keep = (/** @type {number | null} */ found, /** @type {string} */ from) => store.lean(record, found, from);
  const forgotten = preference_from === forgottenFrom(judged);
  if (preference_from === say("fit_forgotten")) record = await keep(null, forgottenFrom(judged)).catch(() => record); // from now on: after so many sets
  else if (judged.preference !== null && !forgotten && (preference !== judged.preference || preference_from !== learnedFrom(judged))) {
    record = await keep(judged.preference, learnedFrom(judged)).catch(() => record);
  }
  const learned = judged.preference !== null && ofLift(record).preference === judged.preference;
  byId("learned").hidden = !learned;
  find(byId("learned"), "span").textContent = learned ? say("sets_learned", judged.preference_text) : "";
}

byId("forget").addEventListener("click", async () => {
  if (!verdict) return;
  try {
    record = await store.lean(record, null, forgottenFrom(verdict));
  } catch (error) {
    return tellTrouble(store.asTrouble(error));
  }
  byId("learned").hidden = true;
  byId("more-said").textContent = say("sets_forgotten");
});

// ---- unit, formula, file, new trial, a name

for (const radio of findAll(document, "#mass-unit input", HTMLInputElement)) {
  radio.addEventListener("change", () => {
    const to = radio.value === "lb" ? "lb" : "kg";
    /** @param {Kept.Entry} values @returns {Kept.Entry} */
    const inUnit = (values) => {
      const load = loadOf(values.load, values.unit);
      return { ...values, unit: to, load: load ? shown(convert(load.number, load.unit, "kg"), to) : values.load };
    };
    settle({ unit: to, entry: draft.entry && inUnit(draft.entry), ...(draft.edit ? { edit: { ...draft.edit, values: inUnit(draft.edit.values) } } : {}) });
    refresh();
    fold();
  });
}

function showSource() {
  byId("formula-source").textContent = formula.selectedOptions[0].dataset.source ?? "";
}

formula.addEventListener("change", () => {
  showSource();
  commit({ what: "formula", formula: formula.value });
});

byId("csv").addEventListener("click", async () => {
  byId("more-said").textContent = await handOverCsv(verdict?.rows.length || model.earlier.length ? verdict?.csv : null, today());
});

/** @param {boolean} open */
function sureOfNew(open) {
  byId("new-trial-sure").hidden = !open;
  byId("new-trial").setAttribute("aria-expanded", String(open));
}

byId("new-trial").addEventListener("click", () => {
  const on = model.candidates.filter((one) => !isOff(one));
  fillLetters(find(byId("new-trial-sure"), ".letters"), on, verdict?.best ?? on.find((one) => one.present)?.key ?? on[0]?.key ?? "", "keep");
  sureOfNew(byId("new-trial-sure").hidden);
});
byId("new-trial-no").addEventListener("click", () => sureOfNew(false));
byId("new-trial-yes").addEventListener("click", async () => {
  const keep = findAll(byId("new-trial-sure"), "input", HTMLInputElement).find(({ checked }) => checked)?.value ?? null;
  if (!(await commit({ what: "new_trial", keep }, () => settle({ entry: null, edit: null })))) return;
  sureOfNew(false);
  byId("more-said").textContent = say("sets_new_trial");
});

byId("keep-guest").addEventListener("click", () => {
  const open = byId("keep-form").hidden;
  byId("keep-form").hidden = !open;
  byId("keep-guest").setAttribute("aria-expanded", String(open));
  if (open) byId("keep-name").focus();
});
byId("keep-form").addEventListener("submit", async (event) => {
  event.preventDefault();
  await writing;
  try {
    const kept = await store.keepGuest(byId("keep-name", HTMLInputElement).value);
    keepDraft(kept, draft);
  } catch (error) {
    const trouble = store.asTrouble(error);
    byId("keep-said").textContent = `${trouble.message} ${trouble.remedy}`;
    return;
  }
  store.persisted({ ask: true });
  byId("keep-form").hidden = true;
  byId("keep-guest").setAttribute("aria-expanded", "false");
  byId("keep-said").textContent = byId("keep-name", HTMLInputElement).value = "";
  await begin();
  said(say("sets_kept_as", record.name));
});

// ---- start

listenForAwake(byId("awake"), (kept) => said(say(kept ? "sets_awake" : "sets_awake_refused")));
store.onTrouble(tellTrouble);
store.watch(async (id) => {
  if (id && id !== record.id) return;
  await writing;
  const there = await store.read(record.id).catch(() => null);
  if (!there) return begin(); // deleted in another tab
  record = there;
  refresh();
  fold();
});
addEventListener("pageshow", ({ persisted }) => { if (persisted) begin(); });
document.addEventListener("visibilitychange", () => { if (document.visibilityState === "visible") refresh(); }); // it may be another day
begin();
