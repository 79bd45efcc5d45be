// The fit screen's panel of whose numbers these are: keeping them under a name, kept setups, and trouble with the storage.

import { say } from "../../words.mjs";
import { showConflicts } from "../shared/conflicts.mjs";
import { make, showText } from "../shared/element.mjs";
import { byId, find } from "../shared/find.mjs";
import { filesOf, saveFiles } from "../shared/file.mjs";
import { GUEST, ofLift, tapeOf, today } from "../shared/record.mjs";
import * as store from "../shared/store.mjs";

/** @type {import("./person.mjs").Person} */
let person;

/** The label of a field, or of a choice or its value ("rules", "rules/ipf"). @param {string} key */
function nameOf(key) {
  const [name, value] = key.split("/");
  const label = document.querySelector(`label[for="${name}"]`);
  if (label) return label.textContent.split(",")[0];
  const box = document.querySelector(`[data-choice-of="${name}"]`);
  return box?.querySelector(value === undefined ? "legend" : `label:has([value="${value}"])`)?.textContent.trim() ?? key;
}

/** Says whose numbers these are, which setups are kept, and where two tabs differ. @param {import("./person.mjs").Person} whose */
export function showWhose({ isGuest, record }) {
  const name = isGuest || !record ? "" : record.name;
  const tape = record && tapeOf(record);
  byId("whose-said").textContent = isGuest ? say("guest_said") : tape ? say("kept_said", name, tape.date) : say("kept_no_tape", name);
  byId("card-name").textContent = name;
  byId("keep-form").hidden = !isGuest;
  const setups = record ? ofLift(record).setups : [];
  byId("kept-setups").hidden = !setups.length;
  byId("kept-setups").replaceChildren(...setups.map(({ text, name: called, date }) => make("li", [called, text, date].filter(Boolean).join(", "))));
  if (record) showConflicts(byId("conflicts"), record, { nameOf, settle: (path, value) => told(person.settle(path, value)) });
}

/** A Trouble with the storage, or null once it is over. @param {store.Trouble | null} trouble */
export function showTrouble(trouble) {
  showText(find(byId("store-trouble"), "p"), trouble && `${trouble.message} ${trouble.remedy}`, byId("store-trouble"));
}

/** @param {Promise<unknown>} promise */
async function told(promise) {
  try {
    await promise;
    return true;
  } catch (trouble) {
    if (!(trouble instanceof store.Trouble)) throw trouble;
    byId("keep-said").textContent = `${trouble.message} ${trouble.remedy}`;
    return false;
  }
}

/** @param {string} name */
async function keepAs(name) {
  if (!(await told(person.keepAs(name)))) return;
  const called = person.record?.name ?? "";
  byId("keep-said").textContent = say("kept_now", called);
  byId("keep-name", HTMLInputElement).value = "";
  const promised = await store.persisted({ ask: true });
  if (promised !== null) byId("keep-said").textContent = say(promised ? "kept_promised" : "kept_not_promised", called);
}

/** @param {{ response: Core.Fitted }} result */
async function keepSetup({ response }) {
  const { grip_m, touch_m } = response.setup;
  const text = response.headline.map(({ label, value, unit }) => `${label} ${value} ${unit}`).join(", ");
  const key = [today(), Math.round(1000 * grip_m), Math.round(1000 * touch_m)].join("-");
  if (await told(person.keepSetup({ key, name: "", date: today(), grip_m, touch_m, text }))) byId("keep-said").textContent = say("setup_kept", text);
}

/** All lifters in a file, this one as it stands on the screen. */
async function saveFile() {
  const typed = person.asTyped;
  const mine = typed.id === GUEST ? { ...typed, id: store.newId(), name: say("store_earlier") } : typed;
  const others = await store.list().catch(() => []);
  byId("keep-said").textContent = saveFiles(filesOf([mine, ...others.filter(({ id }) => id !== mine.id)]));
}

/**
 * `setup()`: the last result if it is one's own; `retry()`: writes once more.
 * @param {import("./person.mjs").Person} who @param {{ setup: () => { response: Core.Fitted } | null, retry: () => void }} hooks
 */
export function listenToKeeping(who, { setup, retry }) {
  person = who;
  byId("keep-form").addEventListener("submit", (event) => {
    event.preventDefault();
    keepAs(byId("keep-name", HTMLInputElement).value);
  });
  byId("keep-setup").addEventListener("click", () => {
    const result = setup();
    if (result) keepSetup(result);
    else byId("keep-said").textContent = say("no_setup");
  });
  byId("store-save").addEventListener("click", saveFile);
  byId("store-retry").addEventListener("click", retry);
}
