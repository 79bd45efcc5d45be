// Unit, margin, formula, file, a new trial, a name for the guest.

import { say } from "../../words.mjs";
import { byId, find, findAll } from "../shared/find.mjs";
import { convert } from "../shared/lengths.mjs";
import { today } from "../shared/record.mjs";
import * as store from "../shared/store.mjs";
import { loadOf } from "../shared/typed.mjs";
import { keepDraft } from "./draft.mjs";
import { fillLetters, shown } from "./entry.mjs";
import { handOverCsv } from "./file.mjs";

/** @typedef {import("./desk.mjs").Desk} Desk */

const formula = byId("formula", HTMLSelectElement);
const margin = byId("margin", HTMLSelectElement);

/** What is chosen. @param {Desk} desk */
export function showSettings(desk) {
  for (const radio of findAll(document, "#mass-unit input", HTMLInputElement)) radio.checked = radio.value === desk.unit;
  if (desk.model.formula) formula.value = desk.model.formula;
  margin.value = String(desk.model.margin_percent);
  byId("formula-source").textContent = formula.selectedOptions[0].dataset.source ?? "";
}

/** @param {Kept.Entry} values @param {Kept.MassUnit} to @returns {Kept.Entry} */
function inUnit(values, to) {
  const load = loadOf(values.load, values.unit);
  return { ...values, unit: to, load: load ? shown(convert(load.number, load.unit, "kg"), to) : values.load };
}

/** @param {boolean} open */
function sureOfNew(open) {
  byId("new-trial-sure").hidden = !open;
  byId("new-trial").setAttribute("aria-expanded", String(open));
}

/** @param {Desk} desk */
export function listenForSettings(desk) {
  for (const radio of findAll(document, "#mass-unit input", HTMLInputElement)) {
    radio.addEventListener("change", () => {
      const to = radio.value === "lb" ? "lb" : "kg";
      const { entry, edit } = desk.draft;
      desk.settle({ unit: to, entry: entry && inUnit(entry, to), ...(edit ? { edit: { ...edit, values: inUnit(edit.values, to) } } : {}) });
      desk.refresh();
      desk.fold();
    });
  }
  formula.addEventListener("change", () => desk.commit({ what: "formula", formula: formula.value }));
  margin.addEventListener("change", () => {
    desk.commit({ what: "terms", margin_percent: Number(margin.value), sets_each: desk.model.sets_each });
  });
  byId("csv").addEventListener("click", async () => {
    const { verdict, model } = desk;
    byId("more-said").textContent = await handOverCsv(verdict?.rows.length || model.earlier.length ? verdict?.csv : null, today());
  });
  byId("new-trial").addEventListener("click", () => {
    const on = desk.onList;
    const best = desk.verdict?.best ?? on.find((one) => one.present)?.key ?? on[0]?.key ?? "";
    fillLetters(find(byId("new-trial-sure"), ".letters"), on, best, "keep");
    sureOfNew(byId("new-trial-sure").hidden);
  });
  byId("new-trial-no").addEventListener("click", () => sureOfNew(false));
  byId("new-trial-yes").addEventListener("click", async () => {
    const keep = findAll(byId("new-trial-sure"), "input", HTMLInputElement).find(({ checked }) => checked)?.value ?? null;
    if (!(await desk.commit({ what: "new_trial", keep }, () => desk.settle({ entry: null, edit: null, goesOn: false })))) return;
    sureOfNew(false);
    byId("more-said").textContent = say("sets_new_trial");
  });
}

/** A guest may be kept under a name. @param {Desk} desk @param {(text: string) => void} said */
export function listenForName(desk, said) {
  byId("keep-guest").addEventListener("click", () => {
    const open = byId("keep-form").hidden;
    byId("keep-form").hidden = !open;
    byId("keep-guest").setAttribute("aria-expanded", String(open));
    if (open) byId("keep-name").focus();
  });
  byId("keep-form").addEventListener("submit", async (event) => {
    event.preventDefault();
    await desk.writing;
    try {
      const kept = await store.keepGuest(byId("keep-name", HTMLInputElement).value);
      keepDraft(kept, desk.draft);
    } catch (error) {
      const trouble = store.asTrouble(error);
      byId("keep-said").textContent = `${trouble.message} ${trouble.remedy}`;
      return;
    }
    store.persisted({ ask: true });
    byId("keep-form").hidden = true;
    byId("keep-guest").setAttribute("aria-expanded", "false");
    byId("keep-said").textContent = byId("keep-name", HTMLInputElement).value = "";
    await desk.begin();
    said(say("sets_kept_as", desk.record.name));
  });
}
