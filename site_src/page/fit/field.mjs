// One number of the form, and one choice: what was typed, in which unit, and what the core said about it.

import { say } from "../../words.mjs";
import { find, findAll } from "../shared/find.mjs";
import { convert, namesItsUnit, nextStep, onTape, plainNumber, show } from "../shared/lengths.mjs";
import { UNITS } from "../shared/record.mjs";
import { sentences } from "../shared/said.mjs";

const EIGHTHS = 8; // of an inch, as everywhere

/**
 * The place says the text; it is left alone while it says the same, so that it is read out once.
 * @param {Element} place @param {string | null | undefined} text
 */
export function tell(place, text) {
  if (place.textContent !== (text ?? "")) place.textContent = text ?? "";
}

/** @typedef {Core.Begin} Begin */

export class Field {
  /** @param {HTMLElement} box */
  constructor(box) {
    this.box = box;
    this.key = box.dataset.field ?? "";
    this.input = find(box, "input", HTMLInputElement);
    this.units = UNITS[box.dataset.kind ?? "length"];
    /** @type {Kept.Typed} */
    this.typed = { text: this.input.value, unit: "cm" };
    this.isTyping = false; // what stands there is not finished: nothing is said against it
    this.wasLeft = false;
    /** @type {number | null} */
    this.number = null; // as the core read it, in cm, kg or °
    this.step = { cm: Number(box.dataset.stepCm), in: Number(box.dataset.stepIn) };
    this.exampleCm = Number(box.dataset.exampleCm);
    /** @type {Begin} */
    this.middle = { value: Number(box.dataset.begin), from: /** @type {Begin["from"]} */ (box.dataset.beginFrom) };
    this.begin = this.middle;
    this.began = ""; // the text that a stepper began with, while it stands
  }

  /** @param {string} name */
  part(name) {
    return find(this.box, `[data-part="${name}"]`);
  }

  get drawing() {
    return find(this.box, ".where");
  }

  get isEmpty() {
    return !this.typed.text.trim();
  }

  /** @param {string} text @param {Kept.UnitSwitch} unit */
  type(text, unit) {
    this.typed = { text, unit };
    this.began = "";
    this.#say(null);
    this.part("reading").textContent = "";
  }

  /** @param {Kept.UnitSwitch} unit */
  clear(unit) {
    this.type("", unit);
    this.wasLeft = this.isTyping = false;
    this.number = null;
    this.begin = this.middle;
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
    const example = this.convert(this.exampleCm, "cm", unit);
    tell(this.part("example"), say("for_example", this.units[unit] === "in" ? onTape(example, EIGHTHS) : this.show(example, unit)));
  }

  /** One step up or down; an empty field begins at what is likely. A text that is no number is left alone. @param {number} sign @param {Kept.UnitSwitch} unit */
  stepBy(sign, unit) {
    const number = this.numberIn(unit);
    if (number === null && !this.isEmpty) return false;
    const next = number === null ? this.#beginIn(unit) : nextStep(number, this.step[unit], sign);
    this.type(this.show(next, unit), unit);
    this.input.value = this.typed.text;
    if (number === null) {
      this.began = say(`began_${this.begin.from}`, this.units[unit] === "°" ? `${this.typed.text}°` : `${this.typed.text} ${this.units[unit]}`);
      this.#say(null);
    }
    return true;
  }

  /** What is likely, as a step of the tape. @param {Kept.UnitSwitch} unit */
  #beginIn(unit) {
    const step = this.step[unit];
    return Math.round(this.convert(this.begin.value, "cm", unit) / step) * step;
  }

  /** The number in this field: as typed, else as the core read it; null while there is none. @param {Kept.UnitSwitch} unit */
  numberIn(unit) {
    if (this.isEmpty) return null;
    const { text, unit: own } = this.typed;
    const plain = plainNumber(text);
    if (plain !== null) return this.convert(plain, own, unit);
    return this.number === null ? null : this.convert(this.number, "cm", unit);
  }

  /**
   * What the core said about the text it was asked about; a text changed since then waits for its own answer. While anything is
   * `typing`, what no longer holds goes, and nothing comes.
   * @param {Core.Fitted | Core.Refused} response @param {Core.FitRequest} request @param {boolean} typing
   */
  showVerdict(response, request, typing) {
    this.begin = response.begin?.[this.key] ?? this.begin;
    if (request.fields[this.key] !== this.requestText(request.unit)) return;
    this.number = response.numbers?.[this.key] ?? null;
    const error = response.errors.find((e) => e.field === this.key && (e.code !== "missing" || this.wasLeft));
    const said = error ?? response.warnings.find((w) => w.field === this.key) ?? null;
    if (!typing || said?.message !== this.part("message").textContent) this.#say(typing ? null : said, !typing && Boolean(error));
    const reading = error ? "" : (response.reading?.[this.key] ?? "");
    const plain = plainNumber(this.input.value) !== null && !/[,/]/.test(this.input.value);
    tell(this.part("reading"), reading && !plain ? `= ${reading}` : "");
  }

  /**
   * The message in the place of the label, what to do in the place of the hint: nothing moves.
   * @param {{ message: string, remedy?: string } | null} said @param {boolean} isError
   */
  #say(said, isError = false) {
    const message = this.part("message");
    message.dataset.kind = isError ? "error" : "warning";
    tell(message, said?.message);
    const aside = this.part("aside");
    aside.dataset.kind = message.dataset.kind;
    tell(aside, said ? said.remedy : this.began);
    if (isError) this.input.setAttribute("aria-invalid", "true");
    else this.input.removeAttribute("aria-invalid");
    const whole = this.part("whole"); // it is filled as it opens, and moves nothing after
    whole.toggleAttribute("data-past", whole.textContent !== this.#whole());
  }

  #whole() {
    return sentences(this.part("message").textContent, this.part("message").textContent && this.part("aside").textContent);
  }

  /** How it is taped, in drawings, and in full what is said of its number. */
  toggleDrawing() {
    const { drawing } = this;
    drawing.hidden = !drawing.hidden;
    tell(this.part("whole"), this.#whole());
    this.part("whole").removeAttribute("data-past");
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
