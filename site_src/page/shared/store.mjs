// What is kept on this device: lifters in IndexedDB, the guest in this tab only. Every screen uses this one door.
//
// Promises are rejected with a Trouble {code, message, remedy}:
//   no_storage  this browser keeps nothing here (private mode); the guest still works
//   full        no space left           newer    the data is of a newer version of this page
//   reload      a newer version in another tab, or the browser, took the database away; only a reload helps
//   blocked     an older version of this page in another tab holds the database
//   gone        no lifter of that id    failed   anything else the browser refused
//   no_name     a lifter needs a name   changed  (of `write`) another tab changed a lifter meanwhile
//   unfit       a part is not as a record may hold it; nothing was written

import { say } from "../../words.mjs";
import { nameOf } from "./errors.mjs";
import { openDB } from "./idb.mjs";
import { still } from "./press.mjs";
import { GUEST, blank, faultOf, fromEarlierKeep, inLift, inThisLift, merged, ofLift, ofVersion1, same, seal, settled, whole } from "./record.mjs";
import { HERE, inTab as inThisTab } from "./tab.mjs";

const TAB_GUEST = `${HERE}|guest`;
const TAB_ASIDE = `${HERE}|aside`; // a guest's record that was not sound
const ASIDE = 0; // its key among the damaged; the database counts from 1
const TAB_CURRENT = `${HERE}|current`;
const EARLIER_KEEP = `${HERE}|numbers`; // where one lifter's numbers were kept before there were lifters
const DELETED_FOR_MS = 30 * 24 * 60 * 60 * 1000;
const LONGEST_NAME = 60;
const OPENING_MS = 10_000; // longer than a slow phone needs; a browser that never answers keeps nothing

/**
 * @typedef {{ lifters: { key: string, value: Kept.Lifter }, meta: { key: string, value: Kept.Meta }, deleted: { key: string, value: Kept.Deleted },
 *   damaged: { key: number, value: Kept.Damaged }, settings: { key: string, value: unknown } }} Schema
 * @typedef {import("./idb.mjs").IDBPDatabase<Schema>} Database
 * @typedef {ArrayLike<keyof Schema>} Names
 */

// One step for each version of the database; a step once published stays as it is.
/** @type {((db: Database) => void)[]} */
const STEPS = [
  (db) => {
    db.createObjectStore("lifters", { keyPath: "id" });
    db.createObjectStore("meta", { keyPath: "id" });
    db.createObjectStore("deleted", { keyPath: "id" });
    db.createObjectStore("damaged", { autoIncrement: true });
    db.createObjectStore("settings");
  },
  () => {}, // records are of version 2 from here on, each from its next change: a page that knows version 1 only must not open them
];

export class Trouble extends Error {
  /** @param {string} code @param {string} message @param {string} remedy */
  constructor(code, message, remedy) {
    super(message);
    this.code = code;
    this.remedy = remedy;
  }
}

const TROUBLES = {
  no_storage: () => new Trouble("no_storage", say("store_none"), say("store_none_remedy")),
  full: () => new Trouble("full", say("store_full"), say("store_full_remedy")),
  newer: () => new Trouble("newer", say("store_newer"), say("store_newer_remedy")),
  reload: () => new Trouble("reload", say("store_reload"), say("store_reload_remedy")),
  blocked: () => new Trouble("blocked", say("store_blocked"), say("store_blocked_remedy")),
  gone: () => new Trouble("gone", say("store_gone"), say("store_gone_remedy")),
  failed: (/** @type {unknown} */ error) => new Trouble("failed", say("store_failed", nameOf(error)), say("store_failed_remedy")),
  no_name: () => new Trouble("no_name", say("store_no_name"), say("store_no_name_remedy", LONGEST_NAME)),
  unfit: (/** @type {Kept.Fault} */ { place, keyword, limit }) => {
    const why = keyword === "maxLength" ? say("store_unfit_long", limit) : say("store_unfit_form");
    return new Trouble("unfit", say("store_unfit", place, why), say("store_unfit_remedy"));
  },
  changed: () => new Trouble("changed", say("store_changed"), say("store_changed_remedy")),
};

/** Any error as one that a person can be told. @param {unknown} error */
export function asTrouble(error) {
  if (error instanceof Trouble) return error;
  if (nameOf(error) === "QuotaExceededError") return TROUBLES.full();
  if (nameOf(error) === "InvalidStateError" && closed) return closed;
  return TROUBLES.failed(error);
}

// ---- opening

/** @type {Database | null} */
let db = null;
/** @type {Promise<Trouble | null> | null} */
let opening = null;
/** @type {Trouble | null} */
let closed = null; // why the connection was lost, once it is
/** @type {Set<(trouble: Trouble) => void>} */
const told = new Set();

/** Called with a Trouble that comes by itself: the database is blocked, or was taken away. @param {(trouble: Trouble) => void} callback */
export function onTrouble(callback) {
  told.add(callback);
}

/** @param {Trouble} trouble */
function tell(trouble) {
  still().then(() => { for (const callback of told) callback(trouble); });
  return trouble;
}

/** @param {Trouble} trouble */
function lose(trouble) {
  closed ??= tell(trouble);
  db?.close();
  db = null;
}

/** Opens the database; null when all is well, else the Trouble. It never rejects, and may be called again. */
export function open() {
  opening ??= new Promise((resolve) => {
    /** @returns {Promise<Database>} */
    const asked = async () => openDB(HERE, STEPS.length, {
      upgrade: (made, old) => { for (const step of STEPS.slice(old)) step(made); },
      blocked: () => resolve(tell(TROUBLES.blocked())),
      blocking: () => lose(TROUBLES.reload()),
      terminated: () => lose(TROUBLES.reload()),
    });
    setTimeout(() => resolve(TROUBLES.no_storage()), OPENING_MS); // where it comes late all the same, it serves from then on
    asked().then(async (made) => {
      db = made;
      await takeEarlierKeep().catch(() => {}); // it stays where it was until the device takes it
      forgetDeleted().catch(() => {});
      resolve(null);
    }, (error) => {
      const name = nameOf(error);
      if (name === "QuotaExceededError") opening = null; // worth another try
      resolve(name === "VersionError" ? TROUBLES.newer() : name === "QuotaExceededError" ? TROUBLES.full() : TROUBLES.no_storage());
    });
  });
  return opening;
}

/**
 * @template {Names} N @template {IDBTransactionMode} M @template T
 * @typedef {(tx: import("./idb.mjs").IDBPTransaction<Schema, N, M>) => T | Promise<T>} Work
 */

/**
 * `work(tx)` in one transaction: all of it or nothing.
 * @template {Names} const N @template {IDBTransactionMode} M @template T
 * @param {N} names @param {M} mode @param {Work<N, M, T>} work @param {IDBTransactionDurability} durability
 */
async function inOne(names, mode, work, durability = "default") {
  if (!db) {
    const trouble = closed ?? (await open());
    if (!db) throw trouble ?? closed ?? TROUBLES.no_storage();
  }
  let tx;
  try {
    tx = db.transaction(names, mode, { durability });
    tx.done.catch(() => {}); // told below
    const out = await work(tx);
    await tx.done;
    return out;
  } catch (error) {
    const aborted = nameOf(error) === "AbortError";
    if (!aborted) abort(tx);
    await tx?.done.catch(() => {});
    throw asTrouble(aborted ? (tx?.error ?? error) : error); // the transaction knows why it ended
  }
}

/** @param {{ abort(): void } | undefined} tx */
function abort(tx) {
  try {
    tx?.abort();
  } catch { /* it has ended already */ }
}

/** @template {Names} const N @template T @param {N} names @param {Work<N, "readonly", T>} work */
const reading = (names, work) => inOne(names, "readonly", work);
/** @template {Names} const N @template T @param {N} names @param {Work<N, "readwrite", T>} work */
const writing = (names, work) => inOne(names, "readwrite", work);
/** @template {Names} const N @template T @param {N} names @param {Work<N, "readwrite", T>} work */
const writingToDisk = (names, work) => inOne(names, "readwrite", work, "strict"); // outlives a power cut, and takes longer

// ---- other tabs

const TAB = Array.from(crypto.getRandomValues(new Uint8Array(8)), (byte) => byte.toString(16).padStart(2, "0")).join("");
const channel = "BroadcastChannel" in globalThis ? new BroadcastChannel(HERE) : null;

/** `callback(id)` when another tab changed, made or deleted the lifter of that id ("" for several). @param {(id: string) => void} callback */
export function watch(callback) {
  channel?.addEventListener("message", ({ data }) => still().then(() => callback(data)));
}

/** @param {string} id */
function announce(id) {
  channel?.postMessage(id);
}

// ---- this tab: the guest, and whose turn it is

/** @type {Kept.Lifter | null} */
let guest = null; // also when the tab's own storage is closed

/** @template T @param {(tab: Storage) => T} work */
const inTab = (work) => inThisTab(work, (error) => {
  if (nameOf(error) === "QuotaExceededError") throw TROUBLES.full();
  return null;
});

function readGuest() {
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
function writeGuest(record) {
  inTab((tab) => tab.setItem(TAB_GUEST, JSON.stringify(record)));
  guest = record; // only now: what a full tab refused is not there
}

function dropGuest() {
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

/** @param {string} id */
export async function setCurrent(id) {
  inTab((tab) => tab.setItem(TAB_CURRENT, id));
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

// ---- lifters

/** @param {Kept.Lifter} a @param {Kept.Lifter} b */
const byName = (a, b) => a.name.localeCompare(b.name) || (a.created < b.created ? -1 : 1);
export const newId = () => Array.from(crypto.getRandomValues(new Uint8Array(16)), (byte) => byte.toString(16).padStart(2, "0")).join("");

/** @typedef {{ key: string, record: Kept.Lifter | null | undefined }} Found */

/** @param {string} id @param {unknown} raw @param {Kept.Fault | null} fault @returns {Kept.Damaged} */
const brokenOne = (id, raw, fault) => ({ id, raw, fault: fault?.place ?? null, found: new Date().toISOString() });

/** The record, where a record of now may be as this one is. @param {Kept.Lifter} record */
function fit(record) {
  const fault = faultOf(record);
  if (fault) throw TROUBLES.unfit(fault);
  return record;
}

/** All sound records, by name; what is damaged is put aside (see `damaged`), and the rest opens. */
export async function list() {
  const records = await everything();
  const broken = records.filter(({ record }) => faultOf(record));
  if (broken.length) await putAside(broken).catch(() => {}); // on a full device they stay where they are
  return records.flatMap(({ record }) => (record && !faultOf(record) ? [record] : [])).sort(byName);
}

/** @returns {Promise<Found[]>} */
async function everything() {
  try {
    const records = await reading(["lifters"], (tx) => tx.objectStore("lifters").getAll());
    return records.map((record) => ({ key: record.id, record: ofVersion1(record) }));
  } catch (error) {
    if (!(error instanceof Trouble) || error.code !== "failed") throw error;
  }
  const keys = await reading(["lifters"], (tx) => tx.objectStore("lifters").getAllKeys());
  const one = (/** @type {string} */ key) => reading(["lifters"], async (tx) => ofVersion1(await tx.objectStore("lifters").get(key))).catch(() => null);
  return Promise.all(keys.map(async (key) => ({ key, record: await one(key) })));
}

/** @param {Found[]} broken */
function putAside(broken) {
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
  const aside = inTab((tab) => tab.getItem(TAB_ASIDE));
  return aside ? [...kept, { key: ASIDE, .../** @type {Kept.Damaged} */ (JSON.parse(aside)) }] : kept;
}

/** @param {number} key */
export async function dropDamaged(key) {
  if (key === ASIDE) inTab((tab) => tab.removeItem(TAB_ASIDE));
  else await writing(["damaged"], (tx) => tx.store.delete(key));
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
    const { base = null, dirty = "" } = (await tx.objectStore("meta").get(id)) ?? {};
    await lifters.put(now);
    if (!dirty) await tx.objectStore("meta").put({ id, base, dirty: now.changed });
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
  return writing(["deleted", "meta", "lifters"], async (tx) => {
    await tx.objectStore("deleted").delete(id);
    if (!(await tx.objectStore("lifters").getKey(id))) await tx.objectStore("meta").delete(id);
  });
}

async function forgetDeleted() {
  const before = new Date(Date.now() - DELETED_FOR_MS).toISOString();
  for (const item of await reading(["deleted"], (tx) => tx.store.getAll())) if (item.deleted < before) await erase(item.id);
}

// ---- what is also somewhere else

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

// ---- from before there were lifters

/** The one lifter that an earlier version kept in localStorage, as a record; it goes from there once it is written here. */
async function takeEarlierKeep() {
  const raw = localStorage.getItem(EARLIER_KEEP);
  if (raw === null) return;
  const id = "kept-earlier"; // one id, so that two tabs make one lifter of it
  const record = fromEarlierKeep(id, say("store_earlier"), raw);
  await writingToDisk(["lifters", "meta", "settings", "damaged"], async (tx) => {
    if (!record) return tx.objectStore("damaged").add(brokenOne(id, raw, { place: "record", keyword: "type" }));
    if (await tx.objectStore("lifters").getKey(id)) return null;
    await tx.objectStore("lifters").add(record);
    await tx.objectStore("meta").put({ id, base: null, dirty: record.changed });
    return tx.objectStore("settings").put(id, "current");
  });
  localStorage.removeItem(EARLIER_KEEP);
}
