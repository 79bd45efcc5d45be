// Texts put together from whole ones: sentences one after the other, and lists in a line.

import { say } from "../../words.mjs";

/** @typedef {string | null | undefined | false} Maybe nothing is left out */

/** @param {Maybe[]} texts */
export const sentences = (...texts) => texts.filter(Boolean).join(" ");

/** What is wrong, and what to do. @param {{ message: string, remedy?: string }} problem */
export const inWords = ({ message, remedy }) => sentences(message, remedy);

/** @param {Maybe[]} texts */
export const listed = (texts) => texts.filter(Boolean).join(say("joint"));

/** A number of the screen, such as the grip, in words. @param {Core.NamedNumber} number */
export const numberInWords = ({ label, value, unit }) => say("named", label, unit === "°" ? value + unit : `${value} ${unit}`);
