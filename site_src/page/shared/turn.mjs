// Turns at a shared device: "next lifter" in the top of every screen, and the same by itself after a time without a touch.

import { say } from "../../words.mjs";
import { showText } from "./element.mjs";
import { byId, find, findAll } from "./find.mjs";
import { pageOf } from "./lift.mjs";
import { GUEST, ofLift } from "./record.mjs";
import * as store from "./store.mjs";
import { dropTab, keepInTab, keptInTab } from "./tab.mjs";

const COUNT = "lifter"; // which turn of this tab it is: a number, nothing of anybody's
const TOUCHED = "touched"; // when this tab was touched last
const STAYS = [COUNT, TOUCHED, "lift", "current"];
const SETTING = "clear_after"; // minutes, 0 for never
const WARNING_MS = 60_000;
let counted = 0;

/** Which turn of this tab it is. */
export const turn = () => Number(keptInTab(COUNT) ?? counted);

/** It is the next one's. */
export function nextTurn() {
  counted = turn() + 1;
  keepInTab(COUNT, counted);
}

/** Nothing of this turn is left in the tab's own storage. */
export const forgetTurn = () => dropTab(STAYS);

/** The minutes without a touch after which this device clears itself; 0 for never. @returns {Promise<number>} */
export const clearAfter = async () => Number((await store.setting(SETTING).catch(() => 0)) ?? 0);

/** @param {number} minutes */
export const setClearAfter = (minutes) => store.set(SETTING, minutes);

/**
 * @typedef {object} Hooks what a screen gives
 * @property {() => unknown} settle writes what is under way; false where the device refused it
 * @property {() => string} [said] what is asked before it is cleared, where the screen knows better
 * @property {() => unknown} [clear] clears in place, in place of going to the fit screen
 */

async function question() {
  const record = await store.read(await store.current()).catch(() => null);
  return record && record.id !== GUEST ? say("next_kept", record.name) : say("next_guest");
}

/** Whether there is anything to clear: of a guest who did nothing there is not. */
async function isUsed() {
  const id = await store.current();
  if (id !== GUEST) return true;
  const { tapes, lifts } = await store.read(GUEST);
  const logged = Object.keys(lifts).some((lift) => ofLift({ lifts }, lift).trials.log || ofLift({ lifts }, lift).trials.pending.length);
  return tapes.length > 0 || logged || keptInTab("sheet") !== null;
}

/** @param {Hooks} hooks */
export function listenToTurns({ settle, said, clear }) {
  const dialog = byId("next-sure", HTMLDialogElement);
  const notice = byId("turn");
  const mine = turn();

  async function next() {
    dialog.close();
    notice.hidden = true;
    if (clear) return clear();
    await settle();
    await store.remove(GUEST);
    forgetTurn();
    await store.setCurrent(GUEST);
    nextTurn();
    location.replace(pageOf());
  }

  for (const button of findAll(document, ".next-turn")) {
    button.addEventListener("click", async () => {
      byId("next-said").textContent = said?.() ?? say("next_guest");
      if (!dialog.open) dialog.showModal();
      if (!said) byId("next-said").textContent = await question();
      const minutes = await clearAfter();
      showText(byId("next-after"), minutes ? say("turn_after", minutes) : "");
    });
  }
  byId("next-no").addEventListener("click", () => dialog.close());
  byId("next-yes").addEventListener("click", next);
  addEventListener("pageshow", ({ persisted }) => { if (persisted && turn() !== mine && !clear) location.reload(); });

  // ---- by itself

  let touched = Number(keptInTab(TOUCHED) ?? Date.now());
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let waiting;

  /** @param {Event} [event] */
  function touch(event) {
    if (event?.target instanceof Node && notice.contains(event.target)) return; // its button must not go from under the finger
    const now = Date.now();
    if (notice.hidden && now - touched < 1000) return;
    touched = now;
    keepInTab(TOUCHED, touched);
    notice.hidden = true;
    look();
  }

  /** Looks how long it is since the last touch, and again when something is due. */
  async function look() {
    clearTimeout(waiting);
    const minutes = await clearAfter();
    if (!minutes) return;
    const end = touched + minutes * 60_000;
    const left = end - Date.now();
    clearTimeout(waiting);
    if (left > WARNING_MS) waiting = setTimeout(look, left - WARNING_MS);
    else if (!(await isUsed())) return; // the next touch looks again
    else if (left > 0) {
      const time = new Date(end).toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" });
      showText(find(notice, "p"), say("turn_soon", time), notice);
      waiting = setTimeout(look, left);
    } else if ((await settle()) === false) showText(find(notice, "p"), say("turn_not_now"), notice);
    else await next();
  }

  for (const kind of ["pointerdown", "keydown", "input"]) addEventListener(kind, touch, { capture: true, passive: true });
  find(notice, "button").addEventListener("click", () => touch());
  document.addEventListener("visibilitychange", () => { if (document.visibilityState === "visible") look(); });
  look();
}
