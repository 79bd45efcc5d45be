// The file of lifters: made here, without Python, so that it can be saved whatever else fails. Its format is told in
// core/shortlever/roster/lifters-2.schema.json; reading one is Python's.

import { say } from "../../words.mjs";
import { nameOf } from "../shared/errors.mjs";
import { VERSION, today } from "../shared/record.mjs";
import * as store from "../shared/store.mjs";

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
    parts[parts.length - 1].push(one);
    size += length;
  }
  const exported = new Date().toISOString();
  const nameOfPart = (/** @type {number} */ i) => (parts.length > 1 ? say("lifters_file_part", i + 1, parts.length) : "");
  return parts.map((part, i) => jsonFile(say("lifters_file_name") + nameOfPart(i), { kind: KIND, version: VERSION, exported, lifters: part }));
}

export const rawFile = (/** @type {Kept.Damaged[]} */ items) => jsonFile(say("lifters_damaged_file"), items);

const namesOf = (/** @type {File[]} */ files) => files.map(({ name }) => name).join(", ");

/** Hands files to the browser's own downloads. @param {File[]} files */
export function download(files) {
  for (const file of files) {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(file);
    link.download = file.name;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
  }
  return say("lifters_file_saved", namesOf(files));
}

/** By the system's share sheet on a phone that takes such files, else as downloads. What to say; "" when it was put away. @param {File[]} files */
async function handOver(files) {
  if (!matchMedia("(pointer: coarse)").matches || !navigator.canShare?.({ files })) return download(files);
  try {
    await navigator.share({ files });
    return say("lifters_file_shared");
  } catch (error) {
    if (nameOf(error) === "AbortError") return "";
    download(files);
    return say("lifters_file_not_shared", nameOf(error), namesOf(files));
  }
}

/** Saves these records right after a tap, and remembers that they are in a file; what to say. @param {Kept.Lifter[]} records */
export async function saveLifters(records) {
  const said = await handOver(filesOf(records));
  if (said) await store.exported(records).catch(() => {}); // a full device: it will be reminded of once more
  return said;
}
