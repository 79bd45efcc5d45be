// The form: all numbers and choices, in which unit, and what the core said about them.

import { find, findAll, radiosNamed } from "../shared/find.mjs";
import { namesItsUnit } from "../shared/lengths.mjs";
import { ofLiftHere } from "../shared/lift.mjs";
import { inWords } from "../shared/said.mjs";
import { Choice, Field, tell } from "./field.mjs";

/** Up or down by an arrow key; 0 for any other. @param {string} key */
const signOf = (key) => (key === "ArrowUp" ? 1 : key === "ArrowDown" ? -1 : 0);

export class TapeForm {
  /** `done()`: Enter on the last number. @param {HTMLFormElement} form @param {{ changed: () => void, done: () => void }} hooks */
  constructor(form, { changed, done }) {
    this.form = form;
    this.changed = changed;
    this.done = done;
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
    const { input } = field;
    input.addEventListener("input", () => {
      field.type(input.value, this.unit);
      field.isTyping = true;
      this.changed();
    });
    input.addEventListener("focus", () => { input.enterKeyHint = this.after(field) ? "next" : "done"; });
    input.addEventListener("blur", () => { if (document.activeElement !== input) this.leave(field); }); // else the whole window was left
    input.addEventListener("keydown", (event) => {
      const sign = signOf(event.key);
      if (!sign && event.key !== "Enter") return;
      event.preventDefault();
      if (sign) this.step(field, sign);
      else this.goOn(field);
    });
    for (const button of findAll(field.box, "[data-step]")) {
      button.addEventListener("click", () => this.step(field, Number(button.dataset.step)));
    }
    find(field.box, ".hint").addEventListener("click", () => field.toggleDrawing());
  }

  /** Its number is finished: what is wrong with it is said now. @param {Field} field */
  leave(field) {
    field.isTyping = false;
    field.wasLeft ||= !this.isEmpty();
    if (this.answered) this.showVerdicts(...this.answered);
  }

  /** The next number that can be seen. @param {Field} field */
  after(field) {
    return this.fields.slice(this.fields.indexOf(field) + 1).find(({ input }) => input.checkVisibility());
  }

  /** Enter: to the next number, or on. @param {Field} field */
  goOn(field) {
    const next = this.after(field);
    if (next) return next.input.focus();
    for (const one of this.fields) one.wasLeft ||= !this.isEmpty();
    this.leave(field);
    this.done();
  }

  /** The first number that something is wrong with. */
  get wrong() {
    return this.fields.find(({ input }) => input.hasAttribute("aria-invalid"));
  }

  /** @param {Field} field @param {number} sign */
  step(field, sign) {
    field.isTyping = false;
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
    return this.fields.every((field) => field.isEmpty);
  }

  /** @returns {Kept.Texts} */
  get chosen() {
    return Object.fromEntries(this.choices.filter((c) => c.value !== c.preset).map((c) => [c.key, c.value]));
  }

  /** @returns {Core.FitRequest} */
  request() {
    const fields = Object.fromEntries(this.fields.map((field) => [field.key, field.requestText(this.unit)]));
    return ofLiftHere({ unit: this.unit, fields, ...this.chosen });
  }

  /** The built-in example in the chosen unit, its meaning unchanged. @returns {Core.FitRequest} */
  exampleRequest() {
    /** @type {Core.FitRequest} */
    const example = JSON.parse(this.form.dataset.example ?? "");
    const inItsUnit = (/** @type {[key: string, text: string]} */ [key, text]) =>
      [key, text.trim() && !namesItsUnit(text) ? `${text} ${this.field(key).units[example.unit]}` : text];
    const fields = example.unit === this.unit ? example.fields : Object.fromEntries(Object.entries(example.fields).map(inItsUnit));
    return ofLiftHere({ unit: this.unit, fields, ...this.chosen });
  }

  /** @param {Core.Fitted | Core.Refused} response @param {Core.FitRequest} request */
  showVerdicts(response, request) {
    this.answered = [response, request];
    const typing = this.fields.some((field) => field.isTyping);
    for (const field of this.fields) field.showVerdict(response, request, typing);
    const ofNoField = response.errors.find((error) => this.fields.every((field) => field.key !== error.field));
    if (!typing || !ofNoField) tell(this.general, ofNoField && inWords(ofNoField));
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
    for (const field of this.fields) field.type((typed[field.key] ?? field.typed).text, (typed[field.key] ?? field.typed).unit);
    for (const choice of this.choices) choice.value = choices[choice.key] ?? choice.preset;
    this.unit = this.chosenUnit();
    this.showUnits();
  }

  /** One field's typed text from elsewhere. @param {string} key @param {Kept.Typed} typed */
  set(key, typed) {
    const field = this.field(key);
    field.type(typed.text, typed.unit);
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
