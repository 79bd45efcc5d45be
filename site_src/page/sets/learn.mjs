// What the sets teach the fit screen, and that it can be forgotten.

import { say } from "../../words.mjs";
import { byId, find } from "../shared/find.mjs";
import { ofLift } from "../shared/record.mjs";
import * as store from "../shared/store.mjs";
import { tellTrouble } from "./desk.mjs";

const learnedFrom = (/** @type {Core.Verdict} */ { rows }) => say("sets_learned_from", rows.length);
const forgottenFrom = (/** @type {Core.Verdict} */ { rows }) => say("sets_forgotten_from", rows.length);

/** Keeps what a decided trial implies, unless a person has had just that forgotten; shows what is kept. @param {import("./desk.mjs").Desk} desk @param {Core.Verdict} judged */
export async function learn(desk, judged) {
  const { preference, preference_from } = ofLift(desk.record);
  const keep = async (/** @type {number | null} */ found, /** @type {string} */ from) => {
    desk.record = await store.lean(desk.record, found, from).catch(() => desk.record);
  };
  const forgotten = preference_from === forgottenFrom(judged);
  if (preference_from === say("fit_forgotten")) await keep(null, forgottenFrom(judged)); // from now on: after so many sets
  else if (judged.preference !== null && !forgotten && (preference !== judged.preference || preference_from !== learnedFrom(judged))) {
    await keep(judged.preference, learnedFrom(judged));
  }
  const learned = judged.preference !== null && ofLift(desk.record).preference === judged.preference;
  byId("learned").hidden = !learned;
  find(byId("learned"), "span").textContent = learned ? say("sets_learned", judged.preference_text) : "";
}

/** @param {import("./desk.mjs").Desk} desk */
export function listenForForget(desk) {
  byId("forget").addEventListener("click", async () => {
    if (!desk.verdict) return;
    try {
      desk.record = await store.lean(desk.record, null, forgottenFrom(desk.verdict));
    } catch (error) {
      return tellTrouble(store.asTrouble(error));
    }
    byId("learned").hidden = true;
    byId("more-said").textContent = say("sets_forgotten");
  });
}
