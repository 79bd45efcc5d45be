// What this tab keeps of the film check: what was typed, and the marks on the last clip. Never a picture.

import * as tab from "../shared/tab.mjs";

/**
 * @typedef {{ name: string, size: number, changed: number }} Print a file told from others
 * @typedef {{ about?: import("./about.mjs").Typed, file?: Print, marks?: Film.AllMarks, at?: number }} State
 */

/** @param {File} file @returns {Print} */
export const printOf = ({ name, size, lastModified: changed }) => ({ name, size, changed });
/** @param {Print | undefined} print @param {File} file */
export const same = (print, { name, size, lastModified }) => Boolean(print && print.name === name && print.size === size && print.changed === lastModified);

export const keepInTab = (/** @type {State} */ state) => tab.keepInTab("film", state);
export const keptInTab = () => /** @type {State | null} */ (tab.keptInTab("film"));
