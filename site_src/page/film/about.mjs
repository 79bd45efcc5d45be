// What is typed and chosen about the camera. Typed texts are kept as typed.

import { find, findAll } from "../shared/find.mjs";
import { convert, show } from "../shared/lengths.mjs";

/** @type {{ [unit in Kept.UnitSwitch]: Kept.Texts }} */
const WORDS = { cm: { cm: "cm", m: "m", mm: "mm" }, in: { cm: "in", m: "ft", mm: "mm" } };

/** @typedef {{ unit: Kept.UnitSwitch | null, fields: Kept.Texts, choices: Kept.Texts }} Typed */

export class About {
  /** `changed()`: something was typed or chosen. @param {HTMLElement} form @param {() => void} changed */
  constructor(form, changed) {
    this.form = form;
    this.inputs = findAll(form, ".field input", HTMLInputElement);
    this.radios = findAll(form, ".choice input", HTMLInputElement);
    this.units = findAll(document, '.units input[name="unit"]', HTMLInputElement);
    this.chose = false; // whether the unit was chosen on this screen
    form.addEventListener("input", changed);
    form.addEventListener("submit", (event) => event.preventDefault());
    for (const radio of this.units) {
      radio.addEventListener("change", () => {
        this.chose = true;
        this.#showUnit();
        changed();
      });
    }
  }

  /** @returns {Kept.UnitSwitch} */
  get unit() {
    return this.units.find(({ checked }) => checked)?.value === "in" ? "in" : "cm";
  }

  /** The unit of the lifter's tape, unless another was chosen here. @param {Kept.UnitSwitch} unit */
  suggestUnit(unit) {
    if (!this.chose) this.#setUnit(unit);
  }

  /** @param {Kept.UnitSwitch} unit */
  #setUnit(unit) {
    for (const radio of this.units) radio.checked = radio.value === unit;
    this.#showUnit();
  }

  #showUnit() {
    for (const word of findAll(this.form, "[data-unit-word]")) word.textContent = WORDS[this.unit][word.dataset.unitWord ?? ""];
    for (const input of this.inputs) {
      const usual = Number(input.dataset.usualCm);
      input.placeholder = usual ? show(convert(usual, "cm", this.unit), this.unit) : "";
    }
  }

  /** As the core wants it: {unit, fields, choices}. */
  values() {
    const { fields, choices } = this.typed();
    const { upright_sd: upright, ...others } = choices;
    return { unit: this.unit, fields, choices: { ...others, ...(upright ? { upright_sd: Number(upright) } : {}) } };
  }

  /** As a person left it. @returns {Typed} */
  typed() {
    return {
      unit: this.chose ? this.unit : null,
      fields: Object.fromEntries(this.inputs.map(({ name, value }) => [name, value]).filter(([, value]) => value)),
      choices: Object.fromEntries(this.radios.filter(({ checked, value }) => checked && value).map(({ name, value }) => [name, value])),
    };
  }

  /** @param {Partial<Typed> | undefined} typed */
  restore(typed) {
    if (!typed) return;
    for (const input of this.inputs) input.value = typed.fields?.[input.name] ?? "";
    for (const radio of this.radios) radio.checked = radio.value === (typed.choices?.[radio.name] ?? "");
    if (typed.unit) {
      this.chose = true;
      this.#setUnit(typed.unit);
    }
    if (Object.keys(typed.fields ?? {}).length) find(this.form, "details", HTMLDetailsElement).open = true;
  }

  /** Shows what the core says to single fields, and how it read them. @param {Core.Problem[]} errors @param {Kept.Texts} reading */
  showErrors(errors, reading = {}) {
    for (const input of this.inputs) {
      const wrong = errors.find(({ field }) => field === input.name);
      const box = input.closest(".field") ?? this.form;
      const message = find(box, '[data-part="message"]');
      message.textContent = wrong ? `${wrong.message} ${wrong.remedy}` : "";
      message.dataset.kind = "error";
      input.toggleAttribute("aria-invalid", Boolean(wrong));
      if (wrong) {
        input.setAttribute("aria-invalid", "true");
        find(this.form, "details", HTMLDetailsElement).open = true;
      }
      find(box, '[data-part="reading"]').textContent = input.value.trim() ? (reading[input.name] ?? "") : "";
    }
  }
}
