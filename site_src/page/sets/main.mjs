// The screen of sets: the entry at the bar, the sets that were logged, and what is shown when.

import { UNNAMED } from "../../lifts.mjs";
import { say } from "../../words.mjs";
import { listenForAwake } from "../shared/awake.mjs";
import { byId, findAll } from "../shared/find.mjs";
import { isOff } from "../shared/model.mjs";
import { TWICE_MS } from "../shared/press.mjs";
import { GUEST, LIFT, ofLift, today } from "../shared/record.mjs";
import * as store from "../shared/store.mjs";
import { loadOf } from "../shared/typed.mjs";
import { foldCautions } from "../shared/cautions.mjs";
import { RestClock } from "./clock.mjs";
import { Desk, now, tellTrouble } from "./desk.mjs";
import { Entry, faultOf, prefill, shown } from "./entry.mjs";
import { showFinish } from "./finish.mjs";
import { learn, listenForForget } from "./learn.mjs";
import { listenForName, listenForSettings, showSettings } from "./settings.mjs";
import { exampleShown, onSetTapped, showExample, showRefused, showSets, showSetups, showVerdict, showWhose } from "./show.mjs";

const MOST_RESTS = 20;

const clock = new RestClock(byId("rest"));
const entry = new Entry({ changed: keepEntry, log: logOrSave });
const desk = new Desk({
  show: refresh,
  judged(answer) {
    showVerdict(answer);
    refresh();
    learn(desk, answer);
  },
  invented: showExample,
});
let loggedAt = -Infinity;
/** @type {number | undefined} */
let naming; // the button's next name waits till then

// ---- showing

async function begin() {
  byId("learned").hidden = true;
  showWhose("waiting");
  await desk.begin();
  foldCautions(ofLift(desk.record).cautions_read);
}

function refresh() {
  const { model, onList, editing } = desk;
  const own = model.candidates.length > 0;
  document.documentElement.dataset.trial = own ? "own" : "none";
  byId("whose").textContent = desk.record.id === GUEST ? say("sets_for_guest") : say("sets_for", desk.record.name);
  if (!own) showWhose(LIFT === UNNAMED || exampleShown() ? "example" : "waiting");
  showFinish(desk);
  byId("none").hidden = own;
  byId("one").hidden = !own || onList.length > 1;
  byId("entry").hidden = (!onList.length && !editing) || !byId("finish").hidden;
  for (const id of ["list", "setups", "more"]) byId(id).hidden = !own;
  byId("guest-note").hidden = !own || desk.record.id !== GUEST;
  showEntry();
  showSets(model, { unit: desk.unit, date: today(), editing: editing?.number, maxima: desk.rows });
  showSetups(model, {
    putBack: (key) => desk.commit({ what: "clear_pain", candidate: key }),
    takeOff: (key) => desk.commit({ what: "remove_candidate", candidate: key }),
  });
  showRefused(desk.draft.refused, { again: enterAgain, drop: dropRefused });
  showSettings(desk);
}

function showEntry() {
  const { editing, model } = desk;
  entry.show(editing?.values ?? entryNow());
  entry.place(model, desk.plan, { editing: editing?.number ?? null });
  byId("undo").hidden = Boolean(editing);
  byId("undo", HTMLButtonElement).disabled = !model.canUndo;
  byId("cancel").hidden = byId("delete").hidden = !editing;
  nameButton();
  const last = model.sets.filter((set) => set.date === today()).at(-1);
  clock.since(last ? desk.draft.rests[last.number] : null);
}

/** What was entered and not logged yet, else what the last set suggests. */
function entryNow() {
  const fresh = prefill(desk.model.sets.at(-1), desk.nextKey, desk.unit);
  const begun = desk.draft.entry;
  if (!begun) return fresh;
  const fits = desk.model.candidates.some((one) => one.key === begun.candidate && !isOff(one));
  return fits ? begun : { ...begun, candidate: fresh.candidate };
}

function nameButton() {
  const { candidate, pain } = entry.values;
  const { editing, model } = desk;
  const just = loggedAt + TWICE_MS - performance.now();
  if (just > 0) {
    byId("log").textContent = say("sets_just_logged");
    clearTimeout(naming);
    naming = setTimeout(nameButton, just);
  } else byId("log").textContent = editing ? say("sets_save", editing.number) : say(pain ? "sets_log_pain" : "sets_log", model.next_number, candidate || "–");
}

/** @param {string} text */
function said(text) {
  byId("said").textContent = text;
}

// ---- the entry

/** @param {Kept.Entry} values */
function keepEntry(values) {
  const { editing } = desk;
  desk.keep(editing ? { edit: { ...editing, values } } : { entry: values });
  entry.place(desk.model, desk.plan, { editing: editing?.number ?? null });
  nameButton();
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
  if (!(await (desk.editing ? save(desk.editing.number, values) : log(values)))) loggedAt = -Infinity;
}

/** @param {number} number @param {Kept.Entry} values */
async function save(number, values) {
  const done = await desk.commit({ what: "edit_set", number, set: values }, () => desk.settle({ edit: null }));
  if (done) said(say("sets_saved", number));
  return done;
}

/** @param {Kept.Entry} values */
async function log(values) {
  const at = now();
  const number = desk.model.next_number;
  const rests = Object.fromEntries([...Object.entries(desk.draft.rests), [number, at]].slice(-MOST_RESTS));
  const load = loadOf(values.load, values.unit);
  const done = await desk.commit({ what: "add_set", at, set: values }, () => desk.settle({ entry: null, rests }));
  if (done) said(say("sets_logged", number, values.candidate, `${load?.number} ${load?.unit}`, values.reps));
  return done;
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

for (const undo of findAll(document, "#undo, #undo-finish")) {
  undo.addEventListener("click", async () => {
    const before = desk.model;
    if (!before.canUndo) return said(say("sets_nothing"));
    if (await desk.commit({ what: "undo" }, () => desk.settle({}))) said(say("sets_undone", difference(before, desk.model)));
  });
}

onSetTapped((number) => {
  const set = desk.model.sets.find((one) => one.number === number);
  if (!set) return;
  const { unit } = desk;
  const values = {
    candidate: set.candidate, load: shown(set.load_kg, unit), unit, reps: String(set.reps), reserve: String(set.reps_in_reserve),
    touched: set.touched, pain: set.pain,
  };
  desk.settle({ edit: { number, values } });
  desk.refresh();
  scrollTo({ top: 0 });
  byId("load").focus({ preventScroll: true });
});

byId("cancel").addEventListener("click", () => {
  desk.settle({ edit: null });
  desk.refresh();
});

byId("delete").addEventListener("click", async () => {
  if (!desk.editing) return;
  const { number } = desk.editing;
  if (await desk.commit({ what: "delete_set", number }, () => desk.settle({ edit: null }))) said(say("sets_deleted", number));
});

// ---- what was refused

/** @param {number} place */
function enterAgain(place) {
  const { change } = desk.draft.refused[place];
  if (!("set" in change)) return;
  const { set } = change;
  const values = { ...prefill(null, desk.nextKey, desk.unit), ...set, load: String(set.load), reps: String(set.reps), reserve: String(set.reserve) };
  desk.settle({ entry: values, edit: null, goesOn: true, refused: desk.draft.refused.toSpliced(place, 1) });
  desk.refresh();
}

/** @param {number} place */
function dropRefused(place) {
  desk.settle({ refused: desk.draft.refused.toSpliced(place, 1) });
  desk.refresh();
}

// ---- start

listenForSettings(desk);
listenForName(desk, said);
listenForForget(desk);
listenForAwake(byId("awake"), (kept) => said(say(kept ? "sets_awake" : "sets_awake_refused")));
store.onTrouble(tellTrouble);
store.watch(async (id) => { if ((!id || id === desk.record.id) && !(await desk.readAgain())) begin(); });
addEventListener("pageshow", ({ persisted }) => { if (persisted) begin(); });
document.addEventListener("visibilitychange", () => { if (document.visibilityState === "visible") desk.refresh(); }); // it may be another day
begin();
