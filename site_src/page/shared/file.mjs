// The file of lifters: made here, without Python, so that it can be saved whatever else fails. Its format is told in
// core/shortlever/roster/lifters-2.schema.json; reading one is Python's.

import { say } from "../../words.mjs";
import { download, handOver } from "./hand-over.mjs";
import { VERSION, today } from "./record.mjs";
import * as store from "./store.mjs";

const KIND = "shortlever lifters";
export const LARGEST = 20_000_000; // characters, as in the core
const PART = 7_000_000; // of one file that is written: with what stands here beside it, all quotes even, it is one question to Python

/** @param {string} name @param {unknown} value */
function jsonFile(name, value) {
  return new File([`${JSON.stringify(value, null, 1)}\n`], `${name}-${today()}.json`, { type: "application/json" });
}

/** One file, or several where it would become too long to be read at once. @param {Kept.Lifter[]} lifters */
export function filesOf(lifters) {
  /** @type {Kept.Lifter[][]} */
  const parts = [[]];
  let size = 0;
  for (const one of lifters) {
    const length = JSON.stringify([[one]], null, 1).length; // as deep as it stands in the file
    if (size && size + length > PART) {
      parts.push([]);
      size = 0;
    }
    parts[parts.length - 1].push(store.withHeard(one));
    size += length;
  }
  const exported = new Date().toISOString();
  const nameOfPart = (/** @type {number} */ i) => (parts.length > 1 ? say("lifters_file_part", i + 1, parts.length) : "");
  return parts.map((part, i) => jsonFile(say("lifters_file_name") + nameOfPart(i), { kind: KIND, version: VERSION, exported, lifters: part }));
}

export const rawFile = (/** @type {Kept.Damaged[]} */ items) => jsonFile(say("lifters_damaged_file"), items);

const namesOf = (/** @type {File[]} */ files) => files.map(({ name }) => name).join(", ");

/** Saved without the share sheet; what to say. @param {File[]} files */
export function saveFiles(files) {
  download(files);
  return say("lifters_file_saved", namesOf(files));
}

/** Saves these records right after a tap, and remembers that they are in a file; what to say. @param {Kept.Lifter[]} records */
export async function saveLifters(records) {
  const files = filesOf(records);
  const { how, why } = await handOver(files);
  if (!how) return "";
  await store.exported(records).catch(() => {}); // a full device: it will be reminded of once more
  if (how === "shared") return say("lifters_file_shared");
  return why ? say("lifters_file_not_shared", why, namesOf(files)) : say("lifters_file_saved", namesOf(files));
}
