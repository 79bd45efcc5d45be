// What this tab keeps of the film check: what was typed, and the marks on the last clip. Never a picture.

const KEY = `shortlever|${new URL("./", location.href).pathname}|film`;

/**
 * @typedef {{ name: string, size: number, changed: number }} Print a file told from others
 * @typedef {{ about?: import("./about.mjs").Typed, file?: Print, marks?: Film.AllMarks, at?: number }} State
 */

/** @param {State} state */
export function keepInTab(state) {
  try {
    sessionStorage.setItem(KEY, JSON.stringify(state));
  } catch {
    // the browser refuses: then nothing outlives a reload
  }
}

/** @returns {State | null} */
export function keptInTab() {
  try {
    return JSON.parse(sessionStorage.getItem(KEY) ?? "null");
  } catch {
    return null;
  }
}
