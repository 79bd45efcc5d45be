// The form: what was typed, in which unit, what was chosen, and what the core said about it.

import { say } from "../../words.mjs";
import { make } from "../shared/element.mjs";
import { find, findAll, radiosNamed } from "../shared/find.mjs";
import { convert, namesItsUnit, nextStep, plainNumber, show } from "../shared/lengths.mjs";
import { still } from "../shared/press.mjs";

/** @type {{ [kind: string]: { cm: Kept.Unit, in: Kept.Unit } }} */
const UNITS = { length: { cm: "cm", in: "in" }, mass: { cm: "kg", in: "lb" } }; // by the unit switch

/**
 * The message in bold, then what to do; the place is left alone while it says the same, so that it is read out once.
 * @param {Element} place @param {{ message: string, remedy?: string } | null | undefined} problem
 */
function tell(place, problem) {
  const said = problem ? [make("strong", problem.message), problem.remedy ? ` ${problem.remedy}` : ""] : [];
  if (place.textContent !== make("p", ...said).textContent) place.replaceChildren(...said);
}

/** Up or down by an arrow key; 0 for any other. @param {string} key */
export const signOf = (key) => (key === "ArrowUp" ? 1 : key === "ArrowDown" ? -1 : 0);

class Field {
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
    if (own === unit || !text.trim() || namesItsUnit(text)) return text;
    return `${text} ${this.units[own]}`;
  }

  /** Shows the stored meaning in `unit`; the very text again in the unit it was typed in. @param {Kept.UnitSwitch} unit */
  display(unit) {
    const { text, unit: own } = this.typed;
    const number = own === unit ? null : plainNumber(text);
    this.input.value = number === null ? text : this.show(this.convert(number, own, unit), unit);
    find(this.box, "[data-unit-word]").textContent = say(this.units[unit]);
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
class Choice {
  /** @param {HTMLElement} box */
  constructor(box) {
    this.key = box.dataset.choiceOf ?? "";
    this.radios = findAll(box, "input", HTMLInputElement);
    this.preset = this.radios.find((radio) => radio.defaultChecked)?.value ?? "";
  }

  get value() {
    return this.radios.find((radio) => radio.checked)?.value ?? this.preset;
  }

  set value(wanted) {
    for (const radio of this.radios) radio.checked = radio.value === wanted;
    if (!this.radios.some((radio) => radio.checked)) this.value = this.preset;
  }
}

export class TapeForm {
  /** @param {HTMLFormElement} form @param {() => void} changed */
  constructor(form, changed) {
    this.form = form;
    this.changed = changed;
    this.more = find(form, "#more", HTMLDetailsElement);
    this.fields = findAll(form, "[data-field]").map((box) => new Field(box));
    this.choices = findAll(form, "[data-choice-of]").map((box) => new Choice(box));
    this.unitRadios = radiosNamed(form, "unit");
    this.general = find(form, "#general");
    /** @type {[response: Core.Fitted | Core.Refused, request: Core.FitRequest] | null} */
    this.answered = null;
    this.unit = this.chosenUnit();
    for (const field of this.fields) {
      field.type(field.input.value, this.unit); // a browser may bring typed text back on reload
      this.listen(field);
    }
    this.showUnits();
    form.addEventListener("submit", (event) => event.preventDefault());
    for (const radio of this.unitRadios) radio.addEventListener("change", () => this.changeUnit());
    for (const { radios } of this.choices) {
      for (const radio of radios) radio.addEventListener("change", () => this.changed());
    }
  }

  /** @param {Field} field */
  listen(field) {
    field.input.addEventListener("input", () => {
      field.type(field.input.value, this.unit);
      field.touched = true;
      this.changed();
    });
    field.input.addEventListener("blur", () => {
      field.touched ||= !this.isEmpty();
      still().then(() => { if (this.answered) this.showVerdicts(...this.answered); });
    });
    field.input.addEventListener("keydown", (event) => {
      const sign = signOf(event.key);
      if (!sign) return;
      event.preventDefault();
      this.step(field, sign);
    });
    for (const button of findAll(field.box, "[data-step]")) {
      button.addEventListener("click", () => this.step(field, Number(button.dataset.step)));
    }
    find(field.box, ".hint").addEventListener("click", () => field.toggleDrawing());
  }

  /** @param {Field} field @param {number} sign */
  step(field, sign) {
    if (field.stepBy(sign, this.unit)) this.changed();
    else field.input.focus();
  }

  /** @returns {Kept.UnitSwitch} */
  chosenUnit() {
    return this.unitRadios.value === "in" ? "in" : "cm";
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

  /** @returns {Kept.Texts} */
  get chosen() {
    return Object.fromEntries(this.choices.filter((c) => c.value !== c.preset).map((c) => [c.key, c.value]));
  }

  /** @returns {Core.FitRequest} */
  request() {
    const fields = Object.fromEntries(this.fields.map((field) => [field.key, field.requestText(this.unit)]));
    return { unit: this.unit, fields, ...this.chosen };
  }

  /** The built-in example in the chosen unit, its meaning unchanged. @returns {Core.FitRequest} */
  exampleRequest() {
    /** @type {Core.FitRequest} */
    const example = JSON.parse(this.form.dataset.example ?? "");
    const inItsUnit = (/** @type {[key: string, text: string]} */ [key, text]) => [key, text.trim() && !namesItsUnit(text) ? `${text} ${example.unit}` : text];
    const fields = example.unit === this.unit ? example.fields : Object.fromEntries(Object.entries(example.fields).map(inItsUnit));
    return { unit: this.unit, fields, ...this.chosen };
  }

  /** @param {Core.Fitted | Core.Refused} response @param {Core.FitRequest} request */
  showVerdicts(response, request) {
    this.answered = [response, request];
    for (const field of this.fields) field.showVerdict(response, request);
    const ofNoField = (/** @type {Core.Problem} */ error) => this.fields.every((field) => field.key !== error.field);
    tell(this.general, response.errors.find(ofNoField));
    if (this.more.querySelector("[aria-invalid]")) this.more.open = true;
  }

  /** @param {string} key */
  field(key) {
    const found = this.fields.find((one) => one.key === key);
    if (!found) throw new RangeError(`no field ${key}`);
    return found;
  }

  /** Opens what hides the field, and goes there. @param {string} key */
  enter(key) {
    const field = this.field(key);
    this.more.open ||= this.more.contains(field.box);
    if (field.drawing.hidden) field.toggleDrawing();
    field.input.focus({ preventScroll: true });
    field.box.scrollIntoView({ block: "center" });
  }

  /** @typedef {{ unit: Kept.UnitSwitch, typed: { [key: string]: Kept.Typed }, more?: boolean, choices?: Kept.Texts }} Saved */

  /** Everything typed and chosen, to carry it over a reload. */
  save() {
    const { unit } = this;
    const typed = Object.fromEntries(this.fields.map((field) => [field.key, field.typed]));
    return { unit, typed, more: this.more.open, choices: this.chosen };
  }

  /** @param {Saved} saved */
  restore({ unit, typed, more = false, choices = {} }) {
    this.unitRadios.value = unit;
    this.more.open = more;
    for (const field of this.fields) field.typed = typed[field.key] ?? field.typed;
    for (const choice of this.choices) choice.value = choices[choice.key] ?? choice.preset;
    this.unit = this.chosenUnit();
    this.showUnits();
  }

  /** One field's typed text from elsewhere. @param {string} key @param {Kept.Typed} typed */
  set(key, typed) {
    const field = this.field(key);
    field.typed = typed;
    field.display(this.unit);
  }

  /** @param {string} key @param {string | null} value */
  choose(key, value) {
    const choice = this.choices.find((one) => one.key === key);
    if (choice) choice.value = value ?? choice.preset;
  }

  clear() {
    for (const field of this.fields) {
      field.clear(this.unit);
      if (!field.drawing.hidden) field.toggleDrawing();
    }
    for (const choice of this.choices) choice.value = choice.preset;
    tell(this.general, null);
    this.answered = null;
    this.more.open = false;
    this.showUnits();
  }

  /** The numbers and choices of a link in place of one's own. @param {Core.FitRequest} request */
  take({ unit, fields, ...choices }) {
    this.clear();
    const typed = Object.fromEntries(Object.entries(fields).map(([key, text]) => [key, { text, unit }]));
    const needed = this.fields.filter((field) => !this.more.contains(field.box)).map((field) => field.key);
    this.restore({ unit, typed, choices: /** @type {Kept.Texts} */ (choices), more: Object.keys(fields).some((key) => !needed.includes(key)) });
  }
}
