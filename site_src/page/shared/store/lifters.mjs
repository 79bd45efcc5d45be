// The lifters kept here: read, made, changed.

import { GUEST, blank, faultOf, inLift, inThisLift, merged, newId, ofLift, ofVersion1, seal, settled, whole } from "../record.mjs";
import { putAside } from "./aside.mjs";
import { TAB, announce, reading, writing, writingToDisk } from "./database.mjs";
import { dropGuest, readGuest, setCurrent, writeGuest } from "./guest.mjs";
import { LONGEST_NAME, TROUBLES, Trouble } from "./trouble.mjs";

const AT_ONCE = 25; // lifters read at once

/** @param {Kept.Lifter} a @param {Kept.Lifter} b */
const byName = (a, b) => a.name.localeCompare(b.name) || (a.created < b.created ? -1 : 1);

/** The record, where a record of now may be as this one is. @param {Kept.Lifter} record */
export function fit(record) {
  const fault = faultOf(record);
  if (fault) throw TROUBLES.unfit(fault);
  return record;
}

/** All sound records, by name; what is damaged is put aside (see `damaged`), and the rest opens. */
export async function list() {
  /** @type {Kept.Lifter[]} */
  const sound = [];
  /** @type {import("./aside.mjs").Found[]} */
  const broken = [];
  await everything(({ key, record }) => {
    if (record && !faultOf(record)) sound.push(record);
    else broken.push({ key, record });
  });
  if (broken.length) await putAside(broken).catch(() => {}); // on a full device they stay where they are
  return sound.sort(byName);
}

/** The ids alone, for many lifters much sooner. */
export const ids = () => reading(["lifters"], (tx) => tx.store.getAllKeys());

/** `look(found)` at each record; in parts, so that one part is looked at while the next is on its way. @param {(found: import("./aside.mjs").Found) => void} look */
async function everything(look) {
  /** @type {string[]} */
  let keys = [];
  /** @type {Set<string>} */
  const seen = new Set();
  const lookAt = (/** @type {string} */ key, /** @type {Kept.Lifter | null | undefined} */ record) => {
    seen.add(key);
    look({ key, record: ofVersion1(record) });
  };
  try {
    await reading(["lifters"], async (tx) => {
      keys = await tx.store.getAllKeys();
      const parts = Array.from({ length: Math.ceil(keys.length / AT_ONCE) }, (_, i) => keys.slice(i * AT_ONCE, (i + 1) * AT_ONCE));
      await Promise.all(parts.map(async (part) => {
        const records = await tx.store.getAll(IDBKeyRange.bound(part[0], part.at(-1)));
        for (const record of records) lookAt(record.id, record);
      }));
    });
    return;
  } catch (error) {
    if (!keys.length || !(error instanceof Trouble) || error.code !== "failed") throw error; // nobody known is not nobody here
  }
  const left = keys.filter((key) => !seen.has(key)); // what cannot be read costs nobody else
  await Promise.all(left.map(async (key) => lookAt(key, await reading(["lifters"], (tx) => tx.store.get(key)).catch(() => null))));
}

/** A lifter's record; the guest always has one. @param {string} id @returns {Promise<Kept.Lifter>} */
export async function read(id) {
  if (id === GUEST) return readGuest();
  const record = ofVersion1(await reading(["lifters"], (tx) => tx.store.get(id)));
  if (!record) throw TROUBLES.gone();
  if (!faultOf(record)) return record;
  await putAside([{ key: id, record }]);
  throw TROUBLES.gone();
}

/** As much of a name as is kept: by its characters, as the schema counts them. @param {string} name */
export const shortened = (name) => [...whole(name).trim()].slice(0, LONGEST_NAME).join("").trim();

/** @param {unknown} name */
function named(name) {
  const text = whole(String(name ?? "")).trim();
  if (!text || [...text].length > LONGEST_NAME) throw TROUBLES.no_name();
  return text;
}

/** A new lifter with these parts of a record; its record. @param {Partial<Kept.Lifter>} fields */
export async function create(fields) {
  const { id, created, changed, version } = blank(newId());
  const record = fit({ ...blank(id), ...structuredClone(fields), id, created, changed, version, name: named(fields.name), conflicts: [] });
  await writingToDisk(["lifters", "meta"], async (tx) => {
    await tx.objectStore("lifters").add(record);
    await tx.objectStore("meta").put({ id: record.id, base: null, dirty: record.changed });
  });
  announce(record.id);
  return record;
}

/** The guest becomes a lifter of that name, with everything typed and logged so far; its record. @param {string} name */
export async function keepGuest(name) {
  const record = await create({ ...readGuest(), name, archived: false });
  dropGuest();
  await setCurrent(record.id);
  return record;
}

/** `edit(record)` gives the record to write in place of the one that is there now. @param {string} id @param {(record: Kept.Lifter) => Kept.Lifter} edit */
async function change(id, edit, opened = writing) {
  if (id === GUEST) {
    const record = fit(edit(readGuest()));
    writeGuest(record);
    return record;
  }
  const record = await opened(["lifters", "meta"], async (tx) => {
    const lifters = tx.objectStore("lifters");
    const old = ofVersion1(await lifters.get(id));
    if (!old || faultOf(old)) throw TROUBLES.gone();
    const now = fit(edit(old));
    const { dirty = "", ...of } = (await tx.objectStore("meta").get(id)) ?? { base: null };
    await lifters.put(now);
    if (!dirty) await tx.objectStore("meta").put({ ...of, id, dirty: now.changed });
    return now;
  });
  announce(id);
  return record;
}

/**
 * Writes `changes` ({path: value}, see record.mjs) of someone who saw `base` ({path: value}); the record as it is then.
 * What another tab changed otherwise meanwhile stays, and `conflicts` of the record holds the value given here.
 * @param {string} id @param {Kept.ByPath} base @param {Kept.ByPath} changes @returns {Promise<Kept.Lifter>}
 */
export function patch(id, base, changes) {
  if ("name" in changes) {
    try {
      changes = { ...changes, name: named(changes.name) };
    } catch (trouble) {
      return Promise.reject(trouble);
    }
  }
  return change(id, (record) => merged(record, base, changes, TAB));
}

/** Writes where on the trade-off of the lift to be, 0 to 1 or null, and how that is known, of someone who saw this record. @param {Kept.Lifter} seen @param {number | null} preference @param {string} from */
export function lean(seen, preference, from) {
  const [leaning, source] = [inThisLift("preference"), inThisLift("preference_from")];
  const was = ofLift(seen);
  return patch(seen.id, { [leaning]: was.preference, [source]: was.preference_from }, { [leaning]: preference, [source]: from });
}

/** Ends a conflict: a person chose `value` for `path`. @param {string} id @param {string} path @param {unknown} value */
export function settle(id, path, value) {
  return change(id, (record) => settled(record, path, value));
}

/** One more change for the trials of a lifter, as plain data; on the disk before this resolves. The record. @param {string} id @param {Kept.Change} what */
export function addChange(id, what) {
  return change(id, (record) => {
    inLift(record).trials.pending.push(structuredClone(what));
    return seal(record);
  }, writingToDisk);
}

/**
 * The log with the first `countFolded` changes in it, if `revision` still stands; {folded, record}.
 * @param {string} id @param {number} revision @param {string} newLog @param {number} countFolded
 */
export async function fold(id, revision, newLog, countFolded) {
  let folded = false;
  const record = await change(id, (now) => {
    const kept = inLift(now);
    const { trials } = kept;
    folded = trials.revision === revision && trials.pending.length >= countFolded;
    if (!folded) return now;
    kept.trials = { log: newLog, pending: trials.pending.slice(countFolded), revision: revision + 1 };
    return now; // nothing that a person changed: the time stays
  });
  return { folded, record };
}
