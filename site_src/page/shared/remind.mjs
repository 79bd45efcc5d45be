// A reminder to save a file, on every screen: for work that is in none for two weeks, at most once a week.

import { showText } from "./element.mjs";
import { saveLifters } from "./file.mjs";
import { byId, find } from "./find.mjs";
import { still } from "./press.mjs";
import * as store from "./store.mjs";
import { say } from "../../words.mjs";

const DAY_MS = 24 * 60 * 60 * 1000;
const OLD_MS = 14 * DAY_MS;
const QUIET_MS = 7 * DAY_MS;
const LOOKED = "looked"; // when this device looked last: for many lifters it takes its time

/** How many lifters to remind of now; 0 for none. Being reminded counts from this moment. */
export async function toRemindOf(now = Date.now()) {
  try {
    if (now - Number((await store.setting("reminded")) ?? -Infinity) < QUIET_MS) return 0;
    const ids = new Set((await store.list()).map((record) => record.id));
    const old = Object.values(await store.metas()).filter(({ id, dirty }) => ids.has(id) && dirty && now - Date.parse(dirty) > OLD_MS);
    if (!old.length) return 0;
    await store.set("reminded", now);
    return old.length;
  } catch {
    return 0; // the storage's own trouble is told elsewhere
  }
}

/** Whether this device looks today for the first time. */
async function isDue(now = Date.now()) {
  const looked = Number((await store.setting(LOOKED).catch(() => now)) ?? -Infinity);
  if (Math.abs(now - looked) < DAY_MS) return false;
  await store.set(LOOKED, now).catch(() => {});
  return true;
}

/** Reminds, where it is time. `settle()` writes what is under way. @param {() => unknown} settle */
export async function remind(settle) {
  const [box, done, save] = [byId("remind"), byId("remind-done"), byId("remind-save")];
  const count = (await isDue()) ? await toRemindOf() : 0;
  if (!count) return;
  /** @type {Kept.Lifter[]} */
  let all = []; // read before the tap, so that the file goes out in the tap itself
  async function read() {
    await settle();
    await store.hear().catch(() => {});
    all = await store.list().catch(() => all);
  }
  await read();
  for (const kind of ["pointerdown", "focus"]) save.addEventListener(kind, read);
  byId("remind-later").addEventListener("click", () => { box.hidden = true; });
  save.addEventListener("click", async () => {
    const said = await saveLifters(all);
    box.hidden = true;
    showText(find(done, "p"), said, done);
  });
  find(done, "button").addEventListener("click", () => { done.hidden = true; });
  await still();
  showText(find(box, "p"), say("lifters_remind", count), box);
}
