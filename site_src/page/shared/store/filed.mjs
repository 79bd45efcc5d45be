// What is also in a file, and what comes from one; and what the browser promises.

import { ofVersion1, same } from "../record.mjs";
import { announce, reading, writing, writingToDisk } from "./database.mjs";
import { fit } from "./lifters.mjs";
import { TROUBLES } from "./trouble.mjs";

/** By id. @returns {Promise<{ [id: string]: Kept.Meta }>} */
export async function metas() {
  const found = await reading(["meta"], (tx) => tx.store.getAll());
  return Object.fromEntries(found.map((meta) => [meta.id, { ...meta, base: ofVersion1(meta.base) }]));
}

/** These records have gone into a file. @param {Kept.Lifter[]} records */
export function exported(records) {
  return writing(["lifters", "meta"], async (tx) => {
    for (const record of records) {
      const now = ofVersion1(await tx.objectStore("lifters").get(record.id));
      if (now) await tx.objectStore("meta").put({ id: record.id, base: record, dirty: same(now, record) ? "" : now.changed });
    }
  });
}

/** @template T @param {{ [id: string]: T }} all @param {string} id */
const own = (all, id) => (Object.hasOwn(all, id) ? all[id] : null);

/**
 * Writes records that came from a file, all or none. `seen` ({id: record}) is what stood here when a person chose, `common`
 * ({id: record}) what the file holds of them; where something else stands here now nothing is written (`changed`).
 * @param {Kept.Lifter[]} records @param {{ [id: string]: Kept.Lifter }} seen @param {{ [id: string]: Kept.Lifter }} common
 */
export async function write(records, seen, common) {
  await writingToDisk(["lifters", "meta"], async (tx) => {
    for (const record of records) {
      const now = ofVersion1(await tx.objectStore("lifters").get(record.id)) ?? null;
      if (!same(now, own(seen, record.id))) throw TROUBLES.changed();
      await tx.objectStore("lifters").put(fit(record));
      const base = own(common, record.id);
      await tx.objectStore("meta").put({ id: record.id, base, dirty: same(base, record) ? "" : new Date().toISOString() });
    }
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
