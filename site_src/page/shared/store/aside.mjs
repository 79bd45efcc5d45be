// What was put aside: records that are damaged, as they are, and lifters who were deleted and can be taken back for 30 days.

import { GUEST, brokenOne, faultOf, newId, ofVersion1, same } from "../record.mjs";
import { announce, reading, whenOpened, writing } from "./database.mjs";
import { forgetTaken } from "./taken.mjs";
import { asideInTab, dropAside, dropGuest, readGuest } from "./guest.mjs";
import { TROUBLES } from "./trouble.mjs";

const ASIDE = 0; // its key among the damaged; the database counts from 1
const DELETED_FOR_MS = 30 * 24 * 60 * 60 * 1000;

/** @typedef {{ key: string, record: Kept.Lifter | null | undefined }} Found */

/** @param {Found[]} broken */
export function putAside(broken) {
  return writing(["lifters", "damaged"], async (tx) => {
    for (const { key, record } of broken) {
      await tx.objectStore("damaged").add(brokenOne(String(key), record, faultOf(record)));
      await tx.objectStore("lifters").delete(key);
    }
  });
}

/** Lifters of a file who are not sound are put aside as they stand there, each once. @param {{ name: string, fault: string, raw: unknown }[]} found */
export function putAsideOfFile(found) {
  return writing(["damaged"], async (tx) => {
    const there = await tx.store.getAll();
    for (const { name, fault, raw } of found) {
      if (!there.some((one) => same(one.raw, raw))) await tx.store.add({ id: name, raw, fault, found: new Date().toISOString() });
    }
  });
}

/** Damaged records as they are: [{key, id, raw, fault: the part that is wrong, found}]. */
export async function damaged() {
  const kept = await reading(["damaged"], async (tx) => {
    const keys = await tx.store.getAllKeys();
    return (await tx.store.getAll()).map((item, place) => ({ key: keys[place], ...item }));
  });
  const aside = asideInTab();
  return aside ? [...kept, { key: ASIDE, ...aside }] : kept;
}

/** @param {number} key */
export async function dropDamaged(key) {
  if (key === ASIDE) dropAside();
  else await writing(["damaged"], (tx) => tx.store.delete(key));
}

// ---- deleting, and taking it back

/** Deletes a lifter, who can be taken back for 30 days; the record. The guest is gone at once and for good. @param {string} id */
export async function remove(id) {
  if (id === GUEST) {
    const record = readGuest();
    dropGuest();
    return record;
  }
  const record = await writing(["lifters", "deleted"], async (tx) => {
    const old = ofVersion1(await tx.objectStore("lifters").get(id));
    if (!old) throw TROUBLES.gone();
    await tx.objectStore("deleted").put({ id, record: old, deleted: new Date().toISOString() });
    await tx.objectStore("lifters").delete(id);
    return old;
  });
  announce(id);
  return record;
}

/** Takes a deleted lifter back: the one of that record's id. Where the id is in use again, as another lifter. @param {Kept.Lifter} record */
export async function restore(record) {
  const back = await writing(["lifters", "deleted"], async (tx) => {
    const taken = await tx.objectStore("lifters").getKey(record.id);
    const made = taken ? { ...record, id: newId() } : record;
    await tx.objectStore("lifters").add(made);
    await tx.objectStore("deleted").delete(record.id);
    return made;
  });
  announce(back.id);
  return back;
}

/** Lifters that can be taken back, the last deleted first. */
export async function deleted() {
  const found = await reading(["deleted"], (tx) => tx.store.getAll());
  const now = found.map((item) => ({ ...item, record: ofVersion1(item.record) }));
  return now.filter(({ record }) => !faultOf(record)).sort((a, b) => (a.deleted < b.deleted ? 1 : -1));
}

/** Deletes for good. @param {string} id */
export function erase(id) {
  return writing(["deleted", "meta", "lifters", "settings"], async (tx) => {
    await tx.objectStore("deleted").delete(id);
    await forgetTaken(tx.objectStore("settings"), id);
    if (!(await tx.objectStore("lifters").getKey(id))) await tx.objectStore("meta").delete(id);
  });
}

async function forgetDeleted() {
  const before = new Date(Date.now() - DELETED_FOR_MS).toISOString();
  for (const item of await reading(["deleted"], (tx) => tx.store.getAll())) if (item.deleted < before) await erase(item.id);
}

whenOpened(() => { forgetDeleted().catch(() => {}); }); // nobody waits for it
