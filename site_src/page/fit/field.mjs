// One number of the form, and one choice: what was typed, in which unit, and what the core said about it.

import { say } from "../../words.mjs";
import { make } from "../shared/element.mjs";
import { find, findAll } from "../shared/find.mjs";
import { convert, namesItsUnit, nextStep, plainNumber, show } from "../shared/lengths.mjs";
import { UNITS } from "../shared/record.mjs";

/**
 * The message in bold, then what to do; the place is left alone while it says the same, so that it is read out once.
 * @param {Element} place @param {{ message: string, remedy?: string } | null | undefined} problem
 */
export function tell(place, problem) {
  const said = problem ? [make("strong", problem.message), problem.remedy ? ` ${problem.remedy}` : ""] : [];
  if (place.textContent !== make("p", ...said).textContent) place.replaceChildren(...said);
}

export class Field {
  /** @param {HTMLElement} box */
  constructor(box) {
    this.box = box;
    this.key = box.dataset.field ?? "";
    this.input = find(box, "input", HTMLInputElement);
    this.units = UNITS[box.dataset.kind ?? "length"];
    /** @type {Kept.Typed} */
    this.typed = { text: this.input.value, unit: "cm" };
    this.touched = false;
    this.reading = "";
    this.step = { cm: Number(box.dataset.stepCm), in: Number(box.dataset.stepIn) };
    this.exampleCm = plainNumber(box.dataset.exampleCm ?? "");
  }

  /** @param {string} name */
  part(name) {
    return find(this.box, `[data-part="${name}"]`);
  }

  get drawing() {
    return find(this.box, ".where");
  }

  /** @param {string} text @param {Kept.UnitSwitch} unit */
  type(text, unit) {
    this.typed = { text, unit };
  }

  /** @param {Kept.UnitSwitch} unit */
  clear(unit) {
    this.type("", unit);
    this.touched = false;
    this.reading = "";
    this.part("reading").textContent = "";
    this.input.removeAttribute("aria-invalid");
    tell(this.part("message"), null);
  }

  /** @param {number} number @param {Kept.UnitSwitch} from @param {Kept.UnitSwitch} to */
  convert(number, from, to) {
    return convert(number, this.units[from], this.units[to]);
  }

  /** @param {number} number @param {Kept.UnitSwitch} unit */
  show(number, unit) {
    return show(number, this.units[unit]);
  }

  /** The typed text as the core must read it when the answer is wanted in `unit`. @param {Kept.UnitSwitch} unit */
  requestText(unit) {
    const { text, unit: own } = this.typed;
    if (this.units[own] === this.units[unit] || !text.trim() || namesItsUnit(text)) return text;
    return `${text} ${this.units[own]}`;
  }

  /** Shows the stored meaning in `unit`; the very text again in the unit it was typed in. @param {Kept.UnitSwitch} unit */
  display(unit) {
    const { text, unit: own } = this.typed;
    const number = own === unit ? null : plainNumber(text);
    this.input.value = number === null ? text : this.show(this.convert(number, own, unit), unit);
    find(this.box, "[data-unit-word]").textContent = this.units[unit] === "°" ? say("degrees") : say(this.units[unit]);
    if (this.exampleCm !== null) this.input.placeholder = this.show(this.convert(this.exampleCm, "cm", unit), unit);
  }

  /** One step up or down. A text that is no number is left alone. @param {number} sign @param {Kept.UnitSwitch} unit */
  stepBy(sign, unit) {
    const number = this.numberIn(unit);
    if (number === null) return false;
    this.type(this.show(nextStep(number, this.step[unit], sign), unit), unit);
    this.input.value = this.typed.text;
    return true;
  }

  /** The number in this field: as typed, else as the core read it; the example's while the field is empty. @param {Kept.UnitSwitch} unit */
  numberIn(unit) {
    const { text, unit: own } = this.typed;
    if (!text.trim()) return this.exampleCm === null ? null : this.convert(this.exampleCm, "cm", unit);
    const plain = plainNumber(text);
    return plain === null ? plainNumber(this.reading.replace(/[^\d.]/g, "")) : this.convert(plain, own, unit);
  }

  /**
   * What the core said about the text it was asked about; a text changed since then waits for its own answer.
   * @param {Core.Fitted | Core.Refused} response @param {Core.FitRequest} request
   */
  showVerdict(response, request) {
    if (request.fields[this.key] !== this.requestText(request.unit)) return;
    const error = response.errors.find((e) => e.field === this.key);
    const warning = response.warnings.find((w) => w.field === this.key);
    const loud = error && (error.code !== "missing" || this.touched);
    const message = this.part("message");
    message.dataset.kind = loud ? "error" : "warning";
    tell(message, loud ? error : warning);
    if (loud) this.input.setAttribute("aria-invalid", "true");
    else this.input.removeAttribute("aria-invalid");
    this.reading = error ? "" : (response.reading?.[this.key] ?? "");
    const plain = plainNumber(this.input.value) !== null && !/[,/]/.test(this.input.value);
    this.part("reading").textContent = this.reading && !plain ? `= ${this.reading}` : "";
  }

  /** The small drawing that shows where the tape goes. */
  toggleDrawing() {
    const { drawing } = this;
    drawing.hidden = !drawing.hidden;
    find(this.box, ".hint").setAttribute("aria-expanded", String(!drawing.hidden));
  }
}

/** One of the choices of rulebook and gear: a group of radio buttons. */
export class Choice {
  /** @param {HTMLElement} box */
  constructor(box) {
    this.key = box.dataset.choiceOf ?? "";
    this.radios = findAll(box, "input", HTMLInputElement);
    this.preset = this.radios.find((radio) => radio.defaultChecked)?.value ?? "";
  }

  /** Whether it can be chosen here. @param {unknown} value */
  has(value) {
    return this.radios.some((radio) => radio.value === value);
  }

  get value() {
    return this.radios.find((radio) => radio.checked)?.value ?? this.preset;
  }

  set value(wanted) {
    for (const radio of this.radios) radio.checked = radio.value === wanted;
    if (!this.radios.some((radio) => radio.checked)) this.value = this.preset;
  }
}
