// What is handed over: by the system's share sheet, as a download, or copied.

import { make } from "./element.mjs";
import { nameOf } from "./errors.mjs";

/** Hands files to the browser's own downloads. @param {File[]} files */
export function download(files) {
  for (const file of files) {
    const link = make("a", { href: URL.createObjectURL(file), download: file.name });
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
  }
}

export const canShare = (/** @type {File[]} */ files) => Boolean(navigator.canShare?.({ files }));

/**
 * How the share sheet went: "shared", or "" when it was put away; `why` is the error's name where it could not be shared.
 * @param {ShareData} data @returns {Promise<{ how: "shared" | "", why: string }>}
 */
export async function share(data) {
  try {
    await navigator.share(data);
    return { how: "shared", why: "" };
  } catch (error) {
    const why = nameOf(error);
    return { how: "", why: why === "AbortError" ? "" : why };
  }
}

/**
 * Shares files on a phone that takes them, else saves them; "saved" with a `why` where sharing failed.
 * @param {File[]} files @returns {Promise<{ how: "shared" | "saved" | "", why: string }>}
 */
export async function handOver(files) {
  const sheet = matchMedia("(pointer: coarse)").matches && canShare(files);
  const shared = sheet ? await share({ files }) : null;
  if (shared && !shared.why) return shared;
  download(files);
  return { how: "saved", why: shared?.why ?? "" };
}

/** Whether a text is on the clipboard now. @param {string} text */
export async function copy(text) {
  try {
    await navigator.clipboard.writeText(text);
    return true;
  } catch {
    return false;
  }
}
