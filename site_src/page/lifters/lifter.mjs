// The lifter that is opened: name, notes, tapes with what changed, setups, sets. Typing is stored as it comes.

import { say } from "../../words.mjs";
import { showConflicts } from "../shared/conflicts.mjs";
import { button, fillList, make, withDates } from "../shared/element.mjs";
import { byId } from "../shared/find.mjs";
import { modelOf } from "../shared/model.mjs";
import { changesOf } from "../shared/parts.mjs";
import { inThisLift, ofLift } from "../shared/record.mjs";
import { keepInTab, keptInTab } from "../shared/tab.mjs";

const REST_MS = 400;
/** @typedef {"name" | "notes"} Part @typedef {Record<Part, string>} Typed */
/** @type {Part[]} */
const PARTS = ["name", "notes"];
const DRAFT = "typing"; // what is typed, until it is stored: a reload may come first

/**
 * @typedef {object} Hooks
 * @property {import("../shared/parts.mjs").NameOf} nameOf
 * @property {Patch} patch null where it was refused
 * @property {(path: string, value: unknown) => void} settle
 * @typedef {(id: string, base: Kept.ByPath, changes: Kept.ByPath) => Promise<Kept.Lifter | null | undefined>} Patch
 * @typedef {{ id: string, saw: Partial<Typed>, typed: Typed }} Draft
 */

/** @type {Kept.Lifter | null} */
let record = null;
/** @type {Partial<Typed>} */
let saw = {}; // what each part was when typing in it began
/** @type {Set<string>} */
let clashing = new Set(); // parts where another tab wrote something else meanwhile; both wait in the conflicts
/** @type {number | undefined} */
let resting;
/** @type {Hooks} */
let hooks;

const boxOf = (/** @type {Part} */ part) => /** @type {HTMLInputElement | HTMLTextAreaElement} */ (byId(part));

/** @param {Kept.Lifter} shown */
function showTapes({ tapes }) {
  byId("no-tape").hidden = tapes.length > 0;
  byId("tapes").replaceChildren(...tapes.map((tape, i) => {
    const lines = changesOf(tapes[i - 1] ?? null, tape, hooks.nameOf).join(", ");
    const said = lines ? say(i ? "lifters_changes" : "lifters_first_tape", lines) : say("lifters_no_changes");
    return make("li", make("time", { datetime: tape.date }, tape.date), ` ${said}`);
  }).reverse());
}

/** @param {Kept.Lifter} shown */
function showSetups(shown) {
  const { id } = shown;
  const { setups } = ofLift(shown);
  byId("no-setup").hidden = setups.length > 0;
  fillList(byId("setups"), setups.map((setup) => ({ id, setup })), ({ setup }) => {
    const takeOff = async () => {
      const path = inThisLift(`setups/${setup.key}`);
      if (await hooks.patch(id, { [path]: setup }, { [path]: null })) {
        byId("lifter-said").textContent = say("lifters_setup_gone", setup.text ?? setup.key);
        byId("lifter").focus({ preventScroll: true });
      }
    };
    const off = button(say("lifters_setup_off"), takeOff, { "aria-label": `${say("lifters_setup_off")}: ${setup.text ?? setup.key}` });
    return make("li", make("span", ...withDates([setup.name, setup.text, setup.date].filter(Boolean).join(", "))), off);
  });
}

/** @param {Kept.Trials} trials */
function setsOf({ log, pending }) {
  try {
    const { sets, candidates, earlier } = modelOf(log, pending);
    const before = earlier.length ? ` ${say("lifters_earlier", earlier.length)}` : "";
    const last = sets.at(-1)?.date;
    if (!last) return (candidates.length ? say("lifters_setups_waiting", candidates.length) : say("lifters_sets_none")) + before;
    const tried = new Set(sets.map((set) => set.candidate)).size;
    if (sets.length === 1) return say("lifters_sets_single", last) + before;
    return (tried === 1 ? say("lifters_sets_one_setup", sets.length, last) : say("lifters_sets", sets.length, tried, last)) + before;
  } catch {
    return say("lifters_sets_damaged");
  }
}

/** Shows a record; what is being typed stays. Null closes. @param {Kept.Lifter | null} next */
export function showLifter(next) {
  const another = next?.id !== record?.id;
  if (another) flush();
  record = next;
  byId("lifter").hidden = !record;
  if (!record) return;
  byId("lifter-title").textContent = record.name;
  if (another) {
    saw = {};
    clashing = new Set();
    byId("lifter-said").textContent = "";
  }
  for (const part of PARTS) follow(part, record);
  byId("archive").textContent = say(record.archived ? "lifters_unarchive" : "lifters_archive");
  byId("trials").replaceChildren(...withDates(setsOf(ofLift(record).trials)));
  showConflicts(byId("conflicts"), record, hooks);
  showTapes(record);
  showSetups(record);
}

/** A part that is not being typed in, or whose conflict was ended, shows what is stored. @param {Part} part @param {Kept.Lifter} stored */
function follow(part, stored) {
  const box = boxOf(part);
  const ended = clashing.has(part) && stored.conflicts.every(({ path }) => path !== part);
  if (!(part in saw) || ended || (box.value === saw[part] && box.value !== stored[part])) box.value = stored[part];
  if (ended) clashing.delete(part);
  if (box.value === stored[part]) saw[part] = stored[part];
}

/** What differs between what was seen and what is typed, as `patch` takes it. @param {Partial<Typed>} seen @param {Typed} typed */
function differences(seen, typed) {
  /** @type {Partial<Typed>} */
  const base = {};
  /** @type {Partial<Typed>} */
  const changes = {};
  for (const part of PARTS) {
    const text = part === "name" ? typed[part].trim() : typed[part];
    if (text === seen[part]) continue;
    base[part] = seen[part];
    changes[part] = text;
  }
  return { base, changes };
}

/** @returns {Typed} */
const typedNow = () => ({ name: boxOf("name").value, notes: boxOf("notes").value });

const draftNow = () => /** @type {Draft | null} */ (keptInTab(DRAFT));

/** Full or closed: it stands on the screen. @param {Draft | null} draft */
const keepDraft = (draft) => keepInTab(DRAFT, draft);

/** What was typed is stored, unless there is more by now. @param {string} id @param {Typed} typed */
function forgetDraft(id, typed) {
  const draft = draftNow();
  if (draft?.id === id && PARTS.every((part) => draft.typed[part] === typed[part])) keepDraft(null);
}

/** Stores what a reload of this tab came before; `patch(id, base, changes)`. @param {Patch} patch */
export async function storeDraft(patch) {
  const draft = draftNow();
  if (!draft) return;
  const { base, changes } = differences(draft.saw, draft.typed);
  if (!Object.keys(changes).length || (await patch(draft.id, base, changes))) keepDraft(null);
}

/** Stores what was typed so far, at once. */
export async function flush() {
  clearTimeout(resting);
  if (!record) return;
  const { id } = record;
  const [seen, clashes] = [saw, clashing]; // of this lifter: another may be open when the device has answered
  const typed = typedNow();
  const { base, changes } = differences(seen, typed);
  const stored = Object.keys(changes).length && (await hooks.patch(id, base, changes));
  if (!stored) return;
  forgetDraft(id, typed);
  for (const part of PARTS) {
    if (changes[part] === undefined) continue;
    if (stored[part] === changes[part]) seen[part] = changes[part];
    else clashes.add(part);
  }
  if (record?.id === id) byId("lifter-said").textContent = clashes.size ? "" : say("lifters_saved");
}

/** @param {Hooks} given */
export function listenToLifter(given) {
  hooks = given;
  for (const part of PARTS) {
    boxOf(part).addEventListener("input", () => {
      clearTimeout(resting);
      byId("lifter-said").textContent = "";
      if (record) keepDraft({ id: record.id, saw, typed: typedNow() });
      resting = setTimeout(flush, REST_MS);
    });
    boxOf(part).addEventListener("change", flush);
  }
  document.addEventListener("visibilitychange", () => { if (document.visibilityState === "hidden") flush(); });
}
