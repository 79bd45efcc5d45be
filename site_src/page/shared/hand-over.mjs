// Files handed over: by the system's share sheet on a phone that takes them, else as downloads.

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

/**
 * How they went: "shared", "saved", or "" when the share sheet was put away; `why` is the error's name where it could not be shared.
 * @param {File[]} files @returns {Promise<{ how: "shared" | "saved" | "", why: string }>}
 */
export async function handOver(files) {
  let why = "";
  if (matchMedia("(pointer: coarse)").matches && navigator.canShare?.({ files })) {
    try {
      await navigator.share({ files });
      return { how: "shared", why };
    } catch (error) {
      why = nameOf(error);
      if (why === "AbortError") return { how: "", why };
    }
  }
  download(files);
  return { how: "saved", why };
}
