// What a sheet brought: written all at once, and taken back all at once. Until the next sheet it is known what stood before.

import { faultOf, merged, ofVersion1, same, valueAt } from "../record.mjs";
import { TAB, announce, reading, writing, writingToDisk } from "./database.mjs";
import { fit } from "./lifters.mjs";
import { TROUBLES } from "./trouble.mjs";

const TAKEN = "taken";

/**
 * `paths`: what stood at each path before, and what was put there. `added`: who was made, by the time of their last change.
 * @typedef {{ id: string, name: string, paths: { [path: string]: [before: unknown, after: unknown] } }} Changed
 * @typedef {{ at: string, added: { id: string, name: string, changed: string }[], changed: Changed[] }} Taken
 */

/** The paths at which a record was changed, a tape of a new day as a whole. @param {Kept.Lifter} before @param {Kept.Lifter} after @param {string[]} paths @returns {Changed["paths"]} */
function undoOf(before, after, paths) {
  const wholes = paths.map((path) => {
    const tape = path.split("/", 2).join("/");
    return path.startsWith("tapes/") && !valueAt(before, tape) ? tape : path;
  });
  return Object.fromEntries([...new Set(wholes)].map((path) => [path, [valueAt(before, path), valueAt(after, path)]]));
}

/** The record with these values at these paths. @param {Kept.Lifter} record @param {Kept.ByPath} changes */
export function withChanges(record, changes) {
  return merged(record, Object.fromEntries(Object.keys(changes).map((path) => [path, valueAt(record, path)])), changes, TAB);
}

/**
 * Writes new lifters and changes of lifters who stand here as they were `seen`, all or none (`changed` where another tab wrote meanwhile).
 * @param {Kept.Lifter[]} added @param {{ seen: Kept.Lifter, changes: Kept.ByPath }[]} changed
 */
export async function takeOver(added, changed) {
  await writingToDisk(["lifters", "meta", "settings"], async (tx) => {
    const [lifters, metas] = [tx.objectStore("lifters"), tx.objectStore("meta")];
    /** @type {Taken} */
    const taken = { at: new Date().toISOString(), added: [], changed: [] };
    for (const record of added) {
      await lifters.add(fit(record));
      await metas.put({ id: record.id, base: null, dirty: record.changed });
      taken.added.push({ id: record.id, name: record.name, changed: record.changed });
    }
    for (const { seen, changes } of changed) {
      const now = ofVersion1(await lifters.get(seen.id)) ?? null;
      if (!same(now, seen)) throw TROUBLES.changed();
      const record = fit(withChanges(seen, changes));
      await lifters.put(record);
      const { dirty = "", ...of } = (await metas.get(seen.id)) ?? { base: null };
      if (!dirty) await metas.put({ ...of, id: seen.id, dirty: record.changed });
      taken.changed.push({ id: seen.id, name: seen.name, paths: undoOf(seen, record, Object.keys(changes)) });
    }
    await tx.objectStore("settings").put(taken, TAKEN);
  });
  announce("");
}

/** What the last sheet brought and can be taken back; null for nothing. @returns {Promise<Taken | null>} */
export async function takenOver() {
  return /** @type {Taken | undefined} */ (await reading(["settings"], (tx) => tx.store.get(TAKEN))) ?? null;
}

/**
 * Takes all of it back, at once: the names of those who were added and have changed since, and stay, and of those who are not here any more. A part that was changed
 * since stays, with what stood before as its conflict.
 */
export async function takeBack() {
  const left = await writing(["lifters", "meta", "settings"], async (tx) => {
    const [lifters, metas, settings] = [tx.objectStore("lifters"), tx.objectStore("meta"), tx.objectStore("settings")];
    const taken = /** @type {Taken | undefined} */ (await settings.get(TAKEN));
    /** @type {string[]} */
    const stay = [];
    for (const { id, name, changed } of taken?.added ?? []) {
      const now = await lifters.get(id);
      if (now?.changed === changed) {
        await lifters.delete(id);
        await metas.delete(id);
      } else if (now) stay.push(name);
    }
    for (const { id, name, paths } of taken?.changed ?? []) {
      const now = ofVersion1(await lifters.get(id));
      if (!now || faultOf(now)) {
        stay.push(name);
        continue;
      }
      const [before, after] = [0, 1].map((i) => Object.fromEntries(Object.entries(paths).map(([path, both]) => [path, both[i]])));
      const record = fit(merged(now, after, before, TAB));
      await lifters.put(record);
      const { dirty = "", ...of } = (await metas.get(id)) ?? { base: null };
      if (!dirty) await metas.put({ ...of, id, dirty: record.changed });
    }
    await settings.delete(TAKEN);
    return stay;
  });
  announce("");
  return left;
}

/** Who is deleted for good is not known here either. @param {{ get(key: string): Promise<unknown>, put(value: unknown, key: string): Promise<unknown> }} settings @param {string} id */
export async function forgetTaken(settings, id) {
  const taken = /** @type {Taken | undefined} */ (await settings.get(TAKEN));
  if (!taken) return;
  const others = (/** @type {{ id: string }} */ one) => one.id !== id;
  await settings.put({ ...taken, added: taken.added.filter(others), changed: taken.changed.filter(others) }, TAKEN);
}
