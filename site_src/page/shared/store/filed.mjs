// What is also in a file, and what comes from one; and what the browser promises.

import { ofVersion1, same } from "../record.mjs";
import { announce, reading, writing, writingToDisk } from "./database.mjs";
import { fit } from "./lifters.mjs";
import { TROUBLES } from "./trouble.mjs";

/** By id. @returns {Promise<{ [id: string]: Kept.Meta }>} */
export async function metas() {
  const found = await reading(["meta"], (tx) => tx.store.getAll());
  return Object.fromEntries(found.map((meta) => [meta.id, { ...meta, base: ofVersion1(meta.base) }])); // `saved` is never of version 1
}

/** @typedef {{ [id: string]: string[] }} Heard by lifter: the `changed` of earlier versions that this one holds, own and others' */
const HEARD = "heard";
const MOST_HEARD = 24;
/** @type {Heard} */
let heard = {}; // as it was when it was asked for last: a file is made in the tap itself

/** What a record that goes into a file says of the versions it holds; in `record.heard`, where there are any. @param {Kept.Lifter} record @returns {Kept.Lifter} */
export function withHeard(record) {
  const marks = (own(heard, record.id) ?? []).filter((mark) => mark !== record.changed);
  return marks.length ? { ...record, heard: marks } : record;
}

/** Brings what `withHeard` says up to date. */
export async function hear() {
  heard = /** @type {Heard | undefined} */ (await reading(["settings"], (tx) => tx.store.get(HEARD))) ?? {};
}

/** @param {{ get(key: string): Promise<unknown>, put(value: unknown, key: string): Promise<unknown> }} settings @param {Heard} more */
async function addHeard(settings, more) {
  const now = /** @type {Heard} */ ((await settings.get(HEARD)) ?? {});
  for (const [id, marks] of Object.entries(more)) now[id] = [...new Set([...(own(now, id) ?? []), ...marks])].slice(-MOST_HEARD);
  await settings.put(now, HEARD);
  heard = now;
}

/** These records have gone into a file; `isSafe`: one that stays when this device is lost. @param {Kept.Lifter[]} records */
export function exported(records, isSafe = true) {
  return writing(["lifters", "meta", "settings"], async (tx) => {
    const marked = tx.objectStore("meta");
    for (const record of records) {
      const now = ofVersion1(await tx.objectStore("lifters").get(record.id));
      if (!now) continue;
      const meta = await marked.get(record.id);
      const base = meta?.base ?? record;
      const saved = base.changed === record.changed ? {} : { saved: record };
      await marked.put({ id: record.id, base, ...saved, dirty: isSafe && same(now, record) ? "" : isSafe ? now.changed : (meta?.dirty ?? now.changed) });
    }
    await addHeard(tx.objectStore("settings"), Object.fromEntries(records.map(({ id, changed }) => [id, [changed]])));
  });
}

/** @template T @param {{ [id: string]: T }} all @param {string} id */
const own = (all, id) => (Object.hasOwn(all, id) ? all[id] : null);

/** The version that a lifter of a file and the one here both hold, the newest that is known; null for none. @param {Kept.Meta | null} meta @param {Kept.Lifter} theirs */
export function commonOf(meta, { changed, heard: marks = [] }) {
  const held = new Set([changed, ...marks]);
  return [meta?.saved, meta?.base].find((one) => one && held.has(one.changed)) ?? null;
}

/** A record of a file as the device keeps it. @param {Kept.Lifter} record @returns {Kept.Lifter} */
export function asKept(record) {
  const kept = { ...record };
  delete kept.heard;
  return kept;
}

/**
 * Writes records that came from a file, all or none. `seen` ({id: record}) is what stood here when a person chose, `common`
 * ({id: record}) what the file holds of them, and of those who are the same; where something else stands here now nothing is written (`changed`).
 * @param {Kept.Lifter[]} records @param {{ [id: string]: Kept.Lifter }} seen @param {{ [id: string]: Kept.Lifter }} common
 */
export async function write(records, seen, common) {
  await writingToDisk(["lifters", "meta", "settings"], async (tx) => {
    const [lifters, marked] = [tx.objectStore("lifters"), tx.objectStore("meta")];
    await Promise.all(records.map(async (given) => {
      const record = asKept(given);
      const now = ofVersion1(await lifters.get(record.id)) ?? null;
      if (!same(now, own(seen, record.id))) throw TROUBLES.changed();
      const theirs = own(common, record.id);
      const base = theirs && asKept(theirs);
      const meta = { id: record.id, base, dirty: same(base, record) ? "" : new Date().toISOString() };
      await Promise.all([lifters.put(fit(record)), marked.put(meta)]);
    }));
    const written = new Set(records.map(({ id }) => id));
    const others = Object.entries(common).filter(([id]) => !written.has(id)); // the same in both
    await Promise.all(others.map(([id, theirs]) => marked.put({ id, base: asKept(theirs), dirty: "" })));
    await addHeard(tx.objectStore("settings"), Object.fromEntries(Object.values(common).map((one) => [one.id, [...(one.heard ?? []), one.changed]])));
  });
  announce("");
}

/** Whether the browser promised not to clear this by itself: true, false, or null where it does not say. With `ask` it is asked. */
export async function persisted({ ask = false } = {}) {
  try {
    return await (ask ? navigator.storage.persist() : navigator.storage.persisted());
  } catch {
    return null;
  }
}
