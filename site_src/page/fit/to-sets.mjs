// From the fit screen to sets and back: setups handed over to be tried, and what the sets taught.

import { say } from "../../words.mjs";
import { byId, find } from "../shared/find.mjs";
import { GUEST, ofLift } from "../shared/record.mjs";
import { inWords } from "../shared/said.mjs";
import * as store from "../shared/store.mjs";

const box = byId("learned");
/** @type {Kept.Lifter | null} */
let record = null; // whose sets they are

/** Hands setups over to the screen of sets; null, or the Trouble that kept it from being stored. @param {Kept.OnTrial[]} candidates */
async function tryInSets(candidates) {
  try {
    const id = await store.current();
    for (const candidate of candidates) await store.addChange(id, { what: "add_candidate", at: new Date().toISOString(), candidate });
    return null;
  } catch (trouble) {
    return store.asTrouble(trouble);
  }
}

/** @param {number} preference */
function leaning(preference) {
  const [low, between, high] = JSON.parse(box.dataset.leanings ?? "[]"); // what the dial of this lift stands for
  if (preference > 0.6) return high;
  return preference < 0.4 ? low : between;
}

/** Where on the trade-off the lifter's own sets say to be: 0 to 1, or null. Says so on the screen. */
export async function learnedPreference() {
  record = await store.read(await store.current()).catch(() => store.read(GUEST));
  const { preference, preference_from: from } = ofLift(record);
  box.hidden = preference === null;
  if (preference !== null) find(box, "span").textContent = say("fit_learned", leaning(preference), from);
  return preference;
}

/**
 * `onTrial()`: the setups to be tried, null where there are none; `onForgotten()`: a tap forgot what sets taught.
 * @param {{ onTrial: () => Kept.OnTrial[] | null, onForgotten: () => void }} hooks
 */
export function listenToSets({ onTrial, onForgotten }) {
  byId("try-in-sets").addEventListener("click", async () => {
    const candidates = onTrial();
    const trouble = candidates ? await tryInSets(candidates) : { message: say("nothing_to_try") };
    if (!trouble) return location.assign("sets.html");
    byId("try-said").textContent = inWords(trouble);
  });
  find(box, "button").addEventListener("click", async () => {
    if (!record) return;
    await store.lean(record, null, say("fit_forgotten"));
    box.hidden = true;
    onForgotten();
  });
}

/** The next lifter: a guest's sets, and what they taught, are gone. */
export function forgetGuest() {
  box.hidden = true;
  store.remove(GUEST);
}
