// What is typed and chosen about the camera. Typed texts are kept as typed.

import { convert, show } from "../lengths.mjs";

const WORDS = { cm: { cm: "cm", m: "m", mm: "mm" }, in: { cm: "in", m: "ft", mm: "mm" } };

export class About {
  /** `changed()`: something was typed or chosen. */
  constructor(form, changed) {
    this.form = form;
    this.inputs = [...form.querySelectorAll(".field input")];
    this.radios = [...form.querySelectorAll(".choice input")];
    this.units = [...document.querySelectorAll('.units input[name="unit"]')];
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

  get unit() {
    return this.units.find(({ checked }) => checked)?.value ?? "cm";
  }

  /** The unit of the lifter's tape, unless another was chosen here. */
  suggestUnit(unit) {
    if (!this.chose) this.#setUnit(unit);
  }

  #setUnit(unit) {
    for (const radio of this.units) radio.checked = radio.value === unit;
    this.#showUnit();
  }

  #showUnit() {
    for (const word of this.form.querySelectorAll("[data-unit-word]")) word.textContent = WORDS[this.unit][word.dataset.unitWord];
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

  /** As a person left it. */
  typed() {
    return {
      unit: this.chose ? this.unit : null,
      fields: Object.fromEntries(this.inputs.map(({ name, value }) => [name, value]).filter(([, value]) => value)),
      choices: Object.fromEntries(this.radios.filter(({ checked, value }) => checked && value).map(({ name, value }) => [name, value])),
    };
  }

  restore(typed) {
    if (!typed) return;
    for (const input of this.inputs) input.value = typed.fields?.[input.name] ?? "";
    for (const radio of this.radios) radio.checked = radio.value === (typed.choices?.[radio.name] ?? "");
    if (typed.unit) {
      this.chose = true;
      this.#setUnit(typed.unit);
    }
    if (Object.keys(typed.fields ?? {}).length) this.form.querySelector("details").open = true;
  }

  /** Shows what the core says to single fields, and how it read them. */
  showErrors(errors, reading = {}) {
    for (const input of this.inputs) {
      const wrong = errors.find(({ field }) => field === input.name);
      const box = input.closest(".field");
      const message = box.querySelector('[data-part="message"]');
      message.textContent = wrong ? `${wrong.message} ${wrong.remedy}` : "";
      message.dataset.kind = "error";
      input.toggleAttribute("aria-invalid", Boolean(wrong));
      if (wrong) {
        input.setAttribute("aria-invalid", "true");
        this.form.querySelector("details").open = true;
      }
      box.querySelector('[data-part="reading"]').textContent = input.value.trim() ? (reading[input.name] ?? "") : "";
    }
  }
}
