// Plain numbers for display and for the steppers. What a text means is decided by the core alone.

/** @type {Record<Kept.Unit, number>} */
const SIZES = { cm: 1, in: 2.54, kg: 1, lb: 0.45359237, "°": 1 }; // in cm, kg, degrees
const DECIMAL = /^\d{1,6}(?:[.,]\d{1,6})?$/;
const FRACTION = /^(\d{1,4})\s+(\d{1,2})\/(\d{1,2})$/;
const DECIMALS = { cm: 1, in: 2, kg: 1, lb: 0, "°": 0 };

/** The number that a text such as "61", "61,5" or "24 1/2" stands for, else null. @param {string} text */
export function plainNumber(text) {
  const trimmed = text.trim();
  if (DECIMAL.test(trimmed)) return Number(trimmed.replace(",", "."));
  const [, whole, top, bottom] = (FRACTION.exec(trimmed) ?? []).map(Number);
  return top < bottom ? whole + top / bottom : null;
}

/** @param {number} number @param {Kept.Unit} from @param {Kept.Unit} to */
export function convert(number, from, to) {
  return from === to ? number : (number * SIZES[from]) / SIZES[to];
}

/** @param {number} number @param {Kept.Unit} unit */
export function show(number, unit) {
  return String(Number(number.toFixed(DECIMALS[unit])));
}

/** Text that ends in letters or inch marks names its own unit (or is no number at all). @param {string} text */
export function namesItsUnit(text) {
  return /[a-z"'″”°]\s*\.?$/i.test(text.trim());
}

/**
 * The next multiple of step above (sign 1) or below (sign -1) the number, never under one step.
 * @param {number} number @param {number} step @param {number} sign
 */
export function nextStep(number, step, sign) {
  const steps = number / step;
  const next = sign > 0 ? Math.floor(steps + 1e-6) + 1 : Math.ceil(steps - 1e-6) - 1;
  return Math.max(1, next) * step;
}

/** Inches as a tape shows them: whole, and a fraction of `parts` in its lowest terms. @param {number} inches @param {number} parts */
export function onTape(inches, parts) {
  const total = Math.round(inches * parts);
  const whole = Math.floor(total / parts);
  let [top, bottom] = [total - whole * parts, parts];
  if (!top) return String(whole);
  while (top % 2 === 0) [top, bottom] = [top / 2, bottom / 2];
  return `${whole ? `${whole} ` : ""}${top}/${bottom}`;
}
