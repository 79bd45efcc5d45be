// A reminder to save a file: for work that is in none for two weeks, at most once a week.

import * as store from "../shared/store.mjs";

const DAY_MS = 24 * 60 * 60 * 1000;
const OLD_MS = 14 * DAY_MS;
const QUIET_MS = 7 * DAY_MS;

/** How many lifters to remind of now; 0 for none. Being reminded counts from this moment. */
export async function toRemindOf(now = Date.now()) {
  try {
    const ids = new Set((await store.list()).map((record) => record.id));
    const old = Object.values(await store.metas()).filter(({ id, dirty }) => ids.has(id) && dirty && now - Date.parse(dirty) > OLD_MS);
    if (!old.length || now - Number((await store.setting("reminded")) ?? -Infinity) < QUIET_MS) return 0;
    await store.set("reminded", now);
    return old.length;
  } catch {
    return 0; // the storage's own trouble is told elsewhere
  }
}
