// The sheet of this tab: what was given, as the core read it, and what is worked out of it so far.

import { say } from "../../words.mjs";
import { inWords, sentences } from "../shared/said.mjs";
import { ofLiftHere } from "../shared/lift.mjs";
import { byId } from "../shared/find.mjs";
import { keepInTab } from "./files.mjs";

const text = byId("text", HTMLTextAreaElement);

/**
 * `bytes`: the chosen file as base64, until its text is changed here; `unit`: what a person chose, null for what the headers say;
 * `assign`: {header: key}, said by a person; `read`: as the core read it; `got`: {row: its setup}; `out`: the file to save.
 * @type {{ bytes: string | null, unit: Kept.UnitSwitch | null, assign: Kept.Texts, read: Core.Sheet | null, got: import("./files.mjs").Results,
 *   out: File | null, awake: boolean }}
 */
export const sheet = { bytes: null, unit: null, assign: {}, read: null, got: {}, out: null, awake: false };

/** @returns {Core.SheetAsked} */
export const source = () => ofLiftHere({ ...(sheet.bytes ? { base64: sheet.bytes } : { text: text.value }), unit: sheet.unit, assign: sheet.assign });

export const fittable = () => (sheet.read?.rows ?? []).filter((one) => !one.errors.length);
export const waiting = () => fittable().filter((one) => !sheet.got[one.row]);

/** @param {Core.Problem[]} errors */
export const allInWords = (errors) => sentences(...errors.map(inWords));

/** @param {string} id */
export function tell(id, message = "", wrong = "") {
  byId(id).textContent = message;
  if (id === "said") byId("wrong").textContent = wrong;
}

/** Keeps it in this tab, so that it outlives a reload. */
export function store() {
  const { unit, assign, got } = sheet;
  const state = text.value ? { text: text.value, unit, assign, got } : null;
  if (!keepInTab(state) && state) tell("said", say("team_not_stored"));
}
