// The form: what was typed, in which unit, and what the core said about it.

import { convert, namesItsUnit, nextStep, plainNumber, show } from "./lengths.mjs";

const AFTER_A_PRESS_MS = 250;
const UNIT_WORDS = { cm: "centimetres", in: "inches" };

/** The message in bold, then what to do; the place is left alone while it says the same, so that it is read out once. */
function say(place, problem) {
  const strong = document.createElement("strong");
  strong.textContent = problem?.message ?? "";
  const said = problem ? [strong, problem.remedy ? ` ${problem.remedy}` : ""] : [];
  if (place.textContent !== said.map((part) => part.textContent ?? part).join("")) place.replaceChildren(...said);
}

class Field {
  constructor(box) {
    this.box = box;
    this.key = box.dataset.field;
    this.input = box.querySelector("input");
    this.typed = { text: this.input.value, unit: "cm" };
    this.asked = null;
    this.touched = false;
    this.reading = "";
    this.step = { cm: Number(box.dataset.stepCm), in: Number(box.dataset.stepIn) };
    this.exampleCm = plainNumber(box.dataset.exampleCm);
  }

  part(name) {
    return this.box.querySelector(`[data-part="${name}"]`);
  }

  type(text, unit) {
    this.typed = { text, unit };
  }

  /** The typed text as the core must read it when the answer is wanted in `unit`. */
  requestText(unit) {
    const { text, unit: own } = this.typed;
    this.asked = text;
    if (own === unit || !text.trim() || namesItsUnit(text)) return text;
    return `${text} ${own}`;
  }

  /** Shows the stored meaning in `unit`; the very text again in the unit it was typed in. */
  display(unit) {
    const { text, unit: own } = this.typed;
    const number = own === unit ? null : plainNumber(text);
    this.input.value = number === null ? text : show(convert(number, own, unit), unit);
    this.box.querySelector("[data-unit-word]").textContent = UNIT_WORDS[unit];
    if (this.exampleCm !== null) this.input.placeholder = show(convert(this.exampleCm, "cm", unit), unit);
  }

  /** One step up or down. A text that is no number is left alone. */
  stepBy(sign, unit) {
    const number = this.numberIn(unit);
    if (number === null) return false;
    this.type(show(nextStep(number, this.step[unit], sign), unit), unit);
    this.input.value = this.typed.text;
    return true;
  }

  /** The number in this field: as typed, else as the core read it; the example's while the field is empty. */
  numberIn(unit) {
    const { text, unit: own } = this.typed;
    if (!text.trim()) return this.exampleCm === null ? null : convert(this.exampleCm, "cm", unit);
    const plain = plainNumber(text);
    return plain === null ? plainNumber(this.reading.replace(/[^\d.]/g, "")) : convert(plain, own, unit);
  }

  /** What the core said about the text it was asked about; a text changed since then waits for its own answer. */
  showVerdict(response) {
    if (this.asked !== this.typed.text) return;
    const error = response.errors.find((e) => e.field === this.key);
    const warning = response.warnings.find((w) => w.field === this.key);
    const loud = error && (error.code !== "missing" || this.touched);
    const message = this.part("message");
    message.dataset.kind = loud ? "error" : "warning";
    say(message, loud ? error : warning);
    if (loud) this.input.setAttribute("aria-invalid", "true");
    else this.input.removeAttribute("aria-invalid");
    this.reading = error ? "" : (response.reading[this.key] ?? "");
    const plain = plainNumber(this.input.value) !== null && !/[,/]/.test(this.input.value);
    this.part("reading").textContent = this.reading && !plain ? `= ${this.reading}` : "";
  }
}

export class TapeForm {
  constructor(form, changed) {
    this.form = form;
    this.changed = changed;
    this.fields = [...form.querySelectorAll("[data-field]")].map((box) => new Field(box));
    this.response = null;
    this.unit = this.chosenUnit();
    for (const field of this.fields) {
      field.type(field.input.value, this.unit); // a browser may bring typed text back on reload
      this.listen(field);
    }
    this.showUnits();
    form.addEventListener("submit", (event) => event.preventDefault());
    for (const radio of form.elements.unit) radio.addEventListener("change", () => this.changeUnit());
  }

  listen(field) {
    field.input.addEventListener("input", () => {
      field.type(field.input.value, this.unit);
      field.touched = true;
      this.changed();
    });
    field.input.addEventListener("blur", () => {
      field.touched = true;
      // Not at once: a message that moves the page under a press would make the press miss its button.
      setTimeout(() => this.response && field.showVerdict(this.response), AFTER_A_PRESS_MS);
    });
    field.input.addEventListener("keydown", (event) => {
      const sign = { ArrowUp: 1, ArrowDown: -1 }[event.key];
      if (!sign) return;
      event.preventDefault();
      this.step(field, sign);
    });
    for (const button of field.box.querySelectorAll("[data-step]")) {
      button.addEventListener("click", () => this.step(field, Number(button.dataset.step)));
    }
  }

  step(field, sign) {
    if (field.stepBy(sign, this.unit)) this.changed();
    else field.input.focus();
  }

  chosenUnit() {
    return this.form.elements.unit.value === "in" ? "in" : "cm";
  }

  changeUnit() {
    this.unit = this.chosenUnit();
    this.showUnits();
    this.changed();
  }

  showUnits() {
    for (const field of this.fields) field.display(this.unit);
  }

  isEmpty() {
    return this.fields.every((field) => !field.typed.text.trim());
  }

  request() {
    const fields = Object.fromEntries(this.fields.map((field) => [field.key, field.requestText(this.unit)]));
    return { unit: this.unit, fields };
  }

  /** The built-in example in the chosen unit, its meaning unchanged. */
  exampleRequest() {
    const example = JSON.parse(this.form.dataset.example);
    if (example.unit === this.unit) return example;
    const inItsUnit = ([key, text]) => [key, text.trim() && !namesItsUnit(text) ? `${text} ${example.unit}` : text];
    return { unit: this.unit, fields: Object.fromEntries(Object.entries(example.fields).map(inItsUnit)) };
  }

  showVerdicts(response) {
    this.response = response;
    for (const field of this.fields) field.showVerdict(response);
    const ofNoField = (error) => this.fields.every((field) => field.key !== error.field);
    say(this.form.querySelector("#general"), response.errors.find(ofNoField));
    const inMore = this.form.querySelector("#more [aria-invalid]");
    if (inMore) this.form.querySelector("#more").open = true;
  }

  /** Everything typed, to carry it over a reload. */
  save() {
    const { unit } = this;
    const typed = Object.fromEntries(this.fields.map((field) => [field.key, field.typed]));
    return { unit, typed, more: this.form.querySelector("#more").open };
  }

  restore({ unit, typed, more }) {
    this.form.elements.unit.value = unit;
    this.form.querySelector("#more").open = more;
    for (const field of this.fields) field.typed = typed[field.key] ?? field.typed;
    this.unit = this.chosenUnit();
    this.showUnits();
  }
}
