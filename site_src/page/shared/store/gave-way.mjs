// Who gave way in this tab: one's own numbers to those of a link, or those to one's own again. Nobody of them is lost meanwhile.

import { GUEST } from "../record.mjs";
import { keepInTab, keptInTab } from "../tab.mjs";
import { hereIs, writeGuest } from "./guest.mjs";

const GAVE_WAY = "gave-way";

/**
 * `guest`: a guest's record, as it lives in the tab only; `screen`: what the screen keeps of them besides; `link`: they came by a link.
 * @typedef {{ id: string, guest: Kept.Lifter | null, screen: unknown, link: boolean }} GaveWay
 */

/** @type {GaveWay | null | undefined} */
let aside; // also when the tab's own storage is closed

/** Who gave way and can come back, or null. @returns {GaveWay | null} */
export function gaveWay() {
  if (aside === undefined) aside = /** @type {GaveWay | null} */ (keptInTab(GAVE_WAY));
  return aside;
}

/** Puts somebody there, null for nobody. @param {GaveWay | null} who */
export function giveWay(who) {
  aside = who;
  keepInTab(GAVE_WAY, who);
}

/** It is their turn again. @param {GaveWay} who */
export function comeBack({ id, guest }) {
  if (guest) writeGuest({ ...guest, id: GUEST });
  hereIs(id);
}
