// From the fit screen to sets and back: setups handed over to be tried, and what the sets taught.

import { say } from "../words.mjs";
import { GUEST } from "./record.mjs";
import * as store from "./store.mjs";

const box = document.querySelector("#learned");
let record = null; // whose sets they are

/** Hands setups over to the screen of sets; null, or the Trouble that kept it from being stored. */
export async function tryInSets(candidates) {
  try {
    const id = await store.current();
    for (const candidate of candidates) await store.addChange(id, { what: "add_candidate", at: new Date().toISOString(), candidate });
    return null;
  } catch (trouble) {
    return trouble;
  }
}

function leaning(preference) {
  if (preference > 0.6) return say("fit_arm");
  return preference < 0.4 ? say("fit_stroke") : say("fit_between");
}

/** Where on the trade-off the lifter's own sets say to be: 0 to 1, or null. Says so on the screen. */
export async function learnedPreference() {
  record = await store.read(await store.current()).catch(() => store.read(GUEST));
  const { preference, preference_from: from } = record;
  box.hidden = preference === null;
  if (preference !== null) box.querySelector("span").textContent = say("fit_learned", leaning(preference), from);
  return preference;
}

/** One tap forgets it; `onForgotten()` once it is gone. */
export function listenToForget(onForgotten) {
  box.querySelector("button").addEventListener("click", async () => {
    const { id, preference, preference_from } = record;
    await store.patch(id, { preference, preference_from }, { preference: null, preference_from: say("fit_forgotten") });
    box.hidden = true;
    onForgotten();
  });
}

/** The next lifter: a guest's sets, and what they taught, are gone. */
export function forgetGuest() {
  box.hidden = true;
  store.remove(GUEST);
}
