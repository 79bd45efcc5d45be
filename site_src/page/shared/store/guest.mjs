// This tab: the guest, who lives in it only, and whose turn it is.

import { nameOf } from "../errors.mjs";
import { GUEST, blank, brokenOne, faultOf, ofVersion1 } from "../record.mjs";
import { HERE, inTab as inThisTab } from "../tab.mjs";
import { reading, writing } from "./database.mjs";
import { TROUBLES } from "./trouble.mjs";

const TAB_GUEST = `${HERE}|guest`;
const TAB_ASIDE = `${HERE}|aside`; // a guest's record that was not sound
const TAB_CURRENT = `${HERE}|current`;

/** @type {Kept.Lifter | null} */
let guest = null; // also when the tab's own storage is closed

/** @template T @param {(tab: Storage) => T} work */
const inTab = (work) => inThisTab(work, (error) => {
  if (nameOf(error) === "QuotaExceededError") throw TROUBLES.full();
  return null;
});

export function readGuest() {
  guest ??= guestOfTab() ?? blank(GUEST);
  return structuredClone(guest);
}

/** @returns {Kept.Lifter | null} */
function guestOfTab() {
  const text = inTab((tab) => tab.getItem(TAB_GUEST));
  if (!text) return null;
  let found = null;
  try {
    found = ofVersion1(JSON.parse(text));
  } catch { /* no JSON */ }
  const fault = faultOf(found);
  if (!fault) return found;
  inTab((tab) => tab.setItem(TAB_ASIDE, JSON.stringify(brokenOne(GUEST, found ?? text, fault)))); // a guest's stay in the tab
  return null;
}

/** @param {Kept.Lifter} record */
export function writeGuest(record) {
  inTab((tab) => tab.setItem(TAB_GUEST, JSON.stringify(record)));
  guest = record; // only now: what a full tab refused is not there
}

export function dropGuest() {
  guest = null;
  inTab((tab) => {
    tab.removeItem(TAB_GUEST);
    tab.removeItem(TAB_ASIDE);
  });
}

/** The id of the lifter of this tab, else of the last one on this device; a guest where there is none, or on a shared device. */
export async function current() {
  const here = inTab((tab) => tab.getItem(TAB_CURRENT));
  if (here === GUEST) return GUEST;
  try {
    return await reading(["lifters", "settings"], async (tx) => {
      const settings = tx.objectStore("settings");
      const id = here ?? ((await settings.get("shared")) ? null : await settings.get("current"));
      return typeof id === "string" && id && (await tx.objectStore("lifters").getKey(id)) ? id : GUEST;
    });
  } catch {
    return GUEST;
  }
}

/** This tab goes on with a lifter, the device does not. @param {string} id */
export function hereIs(id) {
  inTab((tab) => tab.setItem(TAB_CURRENT, id));
}

/** @param {string} id */
export async function setCurrent(id) {
  hereIs(id);
  await set("current", id).catch(() => {}); // this tab knows all the same
}

/** A setting of this device, such as "shared": every start is a guest's. @param {string} name */
export function setting(name) {
  return reading(["settings"], async (tx) => (await tx.objectStore("settings").get(name)) ?? null);
}

/** @param {string} name @param {unknown} value */
export function set(name, value) {
  return writing(["settings"], (tx) => tx.objectStore("settings").put(value, name));
}

/** A guest's record that was not sound. @returns {Kept.Damaged | null} */
export function asideInTab() {
  const text = inTab((tab) => tab.getItem(TAB_ASIDE));
  return text ? JSON.parse(text) : null;
}

export const dropAside = () => inTab((tab) => tab.removeItem(TAB_ASIDE));
