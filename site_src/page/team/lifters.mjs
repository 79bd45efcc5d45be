// Lifters of a sheet kept on this device, when a person asks for it.

import { LIFT, nothingOfLift, today } from "../shared/record.mjs";
import * as store from "../shared/store.mjs";

/** A row as the parts of a lifter's record. @param {Core.SheetRow} row */
function partsOf({ name, request }) {
  const { lift = LIFT, unit, fields, preference = null, ...rest } = request;
  const choices = /** @type {Kept.Texts} */ (rest); // rules, bar, comfort, sex
  const lifts = { [lift]: { ...nothingOfLift(), preference } };
  return { name: store.shortened(name), tapes: [{ date: today(), unit, fields, choices }], lifts };
}

/**
 * Keeps every row as a lifter, but for those whose name is there already. {kept: names, there: names, trouble}: where the
 * store refuses one, the rest is left.
 * @param {Core.SheetRow[]} rows
 */
export async function keepAll(rows) {
  const kept = [];
  const there = [];
  try {
    const names = new Set((await store.list()).map((lifter) => lifter.name));
    for (const one of rows) {
      const parts = partsOf(one);
      if (names.has(parts.name)) there.push(parts.name);
      else {
        await store.create(parts);
        names.add(parts.name);
        kept.push(parts.name);
      }
    }
    if (kept.length) await store.persisted({ ask: true });
  } catch (error) {
    return { kept, there, trouble: store.asTrouble(error) };
  }
  return { kept, there, trouble: null };
}
