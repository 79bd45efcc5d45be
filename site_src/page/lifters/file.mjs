// The file of lifters: made here, without Python, so that it can be saved whatever else fails. Its format is told in
// core/shortlever/roster/lifters-2.schema.json; reading one is Python's.

import { say } from "../../words.mjs";
import { nameOf } from "../errors.mjs";
import { VERSION, today } from "../record.mjs";
import * as store from "../store.mjs";

const KIND = "shortlever lifters";
export const LARGEST = 20_000_000; // characters, as in the core

/** @param {string} name @param {unknown} value */
function jsonFile(name, value) {
  return new File([`${JSON.stringify(value, null, 1)}\n`], `${name}-${today()}.json`, { type: "application/json" });
}

/** @param {Kept.Lifter[]} lifters */
export function fileOf(lifters) {
  return jsonFile(say("lifters_file_name"), { kind: KIND, version: VERSION, exported: new Date().toISOString(), lifters });
}

export const rawFile = (/** @type {Kept.Damaged[]} */ items) => jsonFile(say("lifters_damaged_file"), items);

/** Hands a file to the browser's own downloads. @param {File} file */
export function download(file) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(file);
  link.download = file.name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
  return say("lifters_file_saved", file.name);
}

/** By the system's share sheet on a phone that takes such files, else as a download. What to say; "" when it was put away. @param {File} file */
async function handOver(file) {
  if (!matchMedia("(pointer: coarse)").matches || !navigator.canShare?.({ files: [file] })) return download(file);
  try {
    await navigator.share({ files: [file] });
    return say("lifters_file_shared");
  } catch (error) {
    if (nameOf(error) === "AbortError") return "";
    download(file);
    return say("lifters_file_not_shared", nameOf(error), file.name);
  }
}

/** Saves these records right after a tap, and remembers that they are in a file; what to say. @param {Kept.Lifter[]} records */
export async function saveLifters(records) {
  const said = await handOver(fileOf(records));
  if (said) await store.exported(records).catch(() => {}); // a full device: it will be reminded of once more
  return said;
}
