// The fit screen's panel of whose numbers these are: keeping them under a name, kept setups, and trouble with the storage.

import { say } from "../../words.mjs";
import { showConflicts } from "../shared/conflicts.mjs";
import { make, showText } from "../shared/element.mjs";
import { byId, find } from "../shared/find.mjs";
import { filesOf, saveFiles } from "../shared/file.mjs";
import { nameOf } from "../shared/names.mjs";
import { GUEST, ofLift, tapeOf, today } from "../shared/record.mjs";
import { inWords, listed, numberInWords } from "../shared/said.mjs";
import * as store from "../shared/store.mjs";
import { answered, begun, partsOf, wayAt } from "./steps.mjs";
import { showKeptWay } from "./way.mjs";

/** @type {import("./person.mjs").Person} */
let person;

/** Says whose numbers these are, which setups are kept, and where two tabs differ. @param {import("./person.mjs").Person} whose */
export function showWhose({ isGuest, record }) {
  const name = isGuest || !record ? "" : record.name;
  const tape = record && tapeOf(record);
  byId("whose-said").textContent = isGuest ? say("guest_said") : tape ? say("kept_said", name, tape.date) : say("kept_no_tape", name);
  byId("card-name").textContent = name;
  byId("keep-form").hidden = !isGuest;
  const setups = record ? ofLift(record).setups.toSorted((a, b) => ((a.date ?? "") < (b.date ?? "") ? -1 : Number(a.date !== b.date))) : [];
  byId("kept-setups").hidden = !setups.length;
  const ended = (/** @type {unknown} */ answer) => (answer === "kept" || answer === "back" ? say(`way_is_${answer}`) : "");
  byId("kept-setups").replaceChildren(...setups.map(({ text, name: called, date, answer }) => make("li", listed([called, text, date, ended(answer)]))));
  showKeptWay(wayAt(setups, today()));
  if (record) showConflicts(byId("conflicts"), record, { nameOf, settle: (path, value) => told(person.settle(path, value)) });
}

/** A Trouble with the storage, or null once it is over. @param {store.Trouble | null} trouble */
export function showTrouble(trouble) {
  showText(find(byId("store-trouble"), "p"), trouble && inWords(trouble), byId("store-trouble"));
}

/** @param {Promise<unknown>} promise */
async function told(promise, place = byId("keep-said")) {
  try {
    await promise;
    return true;
  } catch (trouble) {
    if (!(trouble instanceof store.Trouble)) throw trouble;
    showText(place, inWords(trouble));
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

/** @param {{ response: Core.Fitted }} result @param {HTMLElement} place where it is said */
async function keepSetup({ response }, place) {
  const text = listed(response.headline.map(numberInWords));
  const key = [today(), ...Object.values(response.setup).map((part) => Math.round(1000 * part))].join("-");
  if (await told(person.keepSetup({ key, name: "", date: today(), ...response.setup, text }), place)) showText(place, say("setup_kept", text));
}

/** The steps of the way as setups of the lifter; what to say of it. @param {Omit<Kept.Setup, "key">[]} setups */
export async function keepSteps(setups) {
  const place = byId("way-said");
  const steps = setups.map((setup, i) => ({ ...setup, key: `${setup.date}-way-${i + 1}` }));
  return (await told(person.putSetups(begun(setupsKept(), steps)), place)) ? say("way_kept", steps.length) : place.textContent;
}

/** The answer to the step that is asked for; what to say of it. @param {"kept" | "back"} answer @param {(parts: Kept.Choice | null) => void} choose shows a setup */
export async function answerStep(answer, choose) {
  const place = byId("way-said");
  if (!(await told(person.putSetups(answered(setupsKept(), answer, today())), place))) return place.textContent;
  const { stands, next } = wayAt(setupsKept(), today());
  if (answer === "back") {
    choose(stands && partsOf(stands));
    return stands ? say("way_back_to", stands.text) : say("way_back_all");
  }
  return next ? say("way_went_on", next.date) : say("way_done");
}

/** @returns {Kept.Setup[]} */
const setupsKept = () => (person.record ? ofLift(person.record).setups : []);

/** All lifters in a file, this one as it stands on the screen. */
async function saveFile() {
  const typed = person.asTyped;
  const mine = typed.id === GUEST ? { ...typed, id: store.newId(), name: say("store_earlier") } : typed;
  const others = await store.list().catch(() => []);
  await store.hear().catch(() => {});
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
  for (const [button, place] of [["keep-setup", "keep-said"], ["feel-keep", "feel-said"]]) {
    byId(button).addEventListener("click", () => {
      const result = setup();
      if (result) keepSetup(result, byId(place));
      else showText(byId(place), say("no_setup"));
    });
  }
  byId("feel-back").addEventListener("click", () => byId("trade-back").click());
  byId("store-save").addEventListener("click", saveFile);
  byId("store-retry").addEventListener("click", retry);
}
