// The database on this device: opening it, transactions, what other tabs say.

import { nameOf } from "../errors.mjs";
import { openDB } from "../idb.mjs";
import { still } from "../press.mjs";
import { newId } from "../record.mjs";
import { HERE } from "../tab.mjs";
import { TROUBLES, Trouble } from "./trouble.mjs";

const OPENING_MS = 10_000; // longer than a slow phone needs; a browser that never answers keeps nothing

/**
 * @typedef {{ lifters: { key: string, value: Kept.Lifter }, meta: { key: string, value: Kept.Meta }, deleted: { key: string, value: Kept.Deleted },
 *   damaged: { key: number, value: Kept.Damaged }, settings: { key: string, value: unknown } }} Schema
 * @typedef {import("../idb.mjs").IDBPDatabase<Schema>} Database
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

// ---- opening

/** @type {{ db: Database | null, opening: Promise<Trouble | null> | null, closed: Trouble | null }} `closed`: why it was lost, once it is */
const connection = { db: null, opening: null, closed: null };
/** @type {Set<(trouble: Trouble) => void>} */
const told = new Set();

/** @type {(() => Promise<unknown> | void)[]} */
const first = [];

/** What is done once the database is open, before anyone else uses it. @param {() => Promise<unknown> | void} work */
export function whenOpened(work) {
  first.push(work);
}

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
  connection.closed ??= tell(trouble);
  connection.db?.close();
  connection.db = null;
}

/** Opens the database; null when all is well, else the Trouble. It never rejects, and may be called again. */
export function open() {
  connection.opening ??= new Promise((resolve) => {
    /** @returns {Promise<Database>} */
    const asked = async () => openDB(HERE, STEPS.length, {
      upgrade: (made, old) => { for (const step of STEPS.slice(old)) step(made); },
      blocked: () => resolve(tell(TROUBLES.blocked())),
      blocking: () => lose(TROUBLES.reload()),
      terminated: () => lose(TROUBLES.reload()),
    });
    setTimeout(() => resolve(TROUBLES.no_storage()), OPENING_MS); // where it comes late all the same, it serves from then on
    asked().then(async (made) => {
      connection.db = made;
      await Promise.all(first.map((work) => work()));
      resolve(null);
    }, (error) => {
      const name = nameOf(error);
      if (name === "QuotaExceededError") connection.opening = null; // worth another try
      resolve(name === "VersionError" ? TROUBLES.newer() : name === "QuotaExceededError" ? TROUBLES.full() : TROUBLES.no_storage());
    });
  });
  return connection.opening;
}

/** Any error as one that a person can be told. @param {unknown} error */
export function asTrouble(error) {
  if (error instanceof Trouble) return error;
  if (nameOf(error) === "QuotaExceededError") return TROUBLES.full();
  if (nameOf(error) === "InvalidStateError" && connection.closed) return connection.closed;
  return TROUBLES.failed(error);
}

/**
 * @template {Names} N @template {IDBTransactionMode} M @template T
 * @typedef {(tx: import("../idb.mjs").IDBPTransaction<Schema, N, M>) => T | Promise<T>} Work
 */

/**
 * `work(tx)` in one transaction: all of it or nothing.
 * @template {Names} const N @template {IDBTransactionMode} M @template T
 * @param {N} names @param {M} mode @param {Work<N, M, T>} work @param {IDBTransactionDurability} durability
 */
async function inOne(names, mode, work, durability = "default") {
  if (!connection.db) {
    const trouble = connection.closed ?? (await open());
    if (!connection.db) throw trouble ?? connection.closed ?? TROUBLES.no_storage();
  }
  let tx;
  try {
    tx = connection.db.transaction(names, mode, { durability });
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
export const reading = (names, work) => inOne(names, "readonly", work);
/** @template {Names} const N @template T @param {N} names @param {Work<N, "readwrite", T>} work */
export const writing = (names, work) => inOne(names, "readwrite", work);
/** @template {Names} const N @template T @param {N} names @param {Work<N, "readwrite", T>} work */
export const writingToDisk = (names, work) => inOne(names, "readwrite", work, "strict"); // outlives a power cut, and takes longer

// ---- other tabs

export const TAB = newId(16);
const channel = "BroadcastChannel" in globalThis ? new BroadcastChannel(HERE) : null;

/** `callback(id)` when another tab changed, made or deleted the lifter of that id ("" for several). @param {(id: string) => void} callback */
export function watch(callback) {
  channel?.addEventListener("message", ({ data }) => still().then(() => callback(data)));
}

/** @param {string} id */
export function announce(id) {
  channel?.postMessage(id);
}
