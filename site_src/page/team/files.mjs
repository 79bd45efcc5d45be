// Files in and out of the team sheet, and what of it outlives a reload of this tab.

import { say } from "../../words.mjs";
import { nameOf } from "../shared/errors.mjs";
import * as tab from "../shared/tab.mjs";

const LARGEST = 1_000_000; // bytes, as in the core

/** The bytes of a file as base64 text; an Error with a sentence for a person where that fails. @param {File} file @returns {Promise<string>} */
export async function base64Of(file) {
  if (file.size > LARGEST) throw new Error(say("team_file_large", file.name, (file.size / 1e6).toFixed(1)));
  try {
    /** @type {string} */
    const url = await new Promise((resolve, reject) => {
      const reader = new FileReader();
      reader.onload = () => resolve(String(reader.result));
      reader.onerror = () => reject(reader.error);
      reader.readAsDataURL(file);
    });
    return url.slice(url.indexOf(",") + 1);
  } catch (error) {
    throw new Error(say("team_file_unread", file.name, nameOf(error)), { cause: error });
  }
}

/** A file with today's date in its name. @param {string} name @param {string} text */
export function csvFile(name, text) {
  const day = new Date().toLocaleDateString("sv"); // year-month-day
  return new File([text], `${name}-${day}.csv`, { type: "text/csv" });
}

/**
 * @typedef {{ [row: number]: Core.RowResult }} Results
 * @typedef {{ text: string, unit: Kept.UnitSwitch | null, assign: Kept.Texts, got: Results }} State
 */

/** Keeps the sheet in this tab; false where it is refused. @param {State | null} state */
export const keepInTab = (state) => tab.keepInTab("sheet", state);

/** What this tab kept of a sheet, or null. */
export const keptInTab = () => /** @type {Partial<State> | null} */ (tab.keptInTab("sheet"));
