// What was typed into the entry, read as the core reads it: read_quantity of core/shortlever/units.py, _number of view/sets.py.

import { convert } from "./lengths.mjs";

const LONGEST = 40;
const POUND_KG = convert(1, "lb", "kg");
/** @type {{ [unit: string]: number }} */
const SIZES_KG = { kg: 1, g: 0.001, lb: POUND_KG, lbs: POUND_KG, st: 14 * POUND_KG };
/** @type {{ [sign: string]: string }} */
const VULGAR = { "½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8" };
const RAISED_OR_LOWERED = /[²³¹⁰-₉]/;
const TERM = /\s*([+-]?)\s*(?:(\d{1,2})\s*\/\s*(\d{1,2})|(\d+(?:[.,]\d+)?|[.,]\d+)(?:\s+(\d{1,2})\s*\/\s*(\d{1,2}))?)\s*([a-z"']*)\.?\s*/y;
const NUMBER = /^[+-]?(?:\d+[.,]?\d*|[.,]\d+)(?:e[+-]?\d+)?$/i;

/** @param {string} text */
const numberOf = (text) => Number(text.replace(",", "."));

/**
 * Number and unit of a load, in `unit` where it names none or several; null where it is no weight.
 * @param {string} text @param {Kept.MassUnit} unit @returns {{ number: number, unit: Kept.MassUnit } | null}
 */
export function loadOf(text, unit) {
  if (text.length > LONGEST || RAISED_OR_LOWERED.test(text)) return null;
  const tidy = text.replace(/[½¼¾⅛⅜⅝⅞]/g, (sign) => VULGAR[sign]).normalize("NFKC").toLowerCase().trim().replace(/[−–]/g, "-");
  let [mass, least, from] = [0, Infinity, 0]; // kg, the unit before in kg, the place in the text
  let single = null;
  do {
    TERM.lastIndex = from;
    const term = TERM.exec(tidy);
    if (!term) return null;
    const [whole, sign, alone, of, number = "0", top = alone, bottom = of, name] = term;
    const size = SIZES_KG[name || unit];
    if (!size || (top && !(Number(top) < Number(bottom)))) return null;
    if (from && (size >= least || sign || !name)) return null;
    const value = (sign === "-" ? -1 : 1) * (numberOf(number) + (top ? Number(top) / Number(bottom) : 0));
    mass += value * size;
    least = size;
    single = from ? null : { number: value, name: name || unit };
    from += whole.length;
  } while (from < tidy.length);
  if (single?.name === "kg") return { number: single.number, unit: "kg" };
  if (single && SIZES_KG[single.name] === POUND_KG) return { number: single.number, unit: "lb" };
  return { number: convert(mass, "kg", unit), unit };
}

/** Reps, or reps in reserve; null where the text is no number. @param {string} text */
export function countOf(text) {
  return NUMBER.test(text.trim()) ? numberOf(text.trim()) : null;
}
