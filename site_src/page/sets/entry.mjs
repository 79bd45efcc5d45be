// The one large entry: which setup, load, reps, reps in reserve, touched, pain. Every change of it is handed on at once to be kept.

import { say } from "../../words.mjs";
import { fillList, make } from "../shared/element.mjs";
import { byId, find, findAll, inputNamed, radiosNamed } from "../shared/find.mjs";
import { convert, nextStep } from "../shared/lengths.mjs";
import { isOff } from "../shared/model.mjs";
import { countOf, loadOf } from "../shared/typed.mjs";

const form = byId("entry", HTMLFormElement);
/** @type {{ load: number[], reps: number[], reserve: number[], total: number }} lowest and highest; the load in kg */
const limits = JSON.parse(find(document, "main").dataset.limits ?? "");
const letters = find(form, ".letters");
const now = byId("now");
const message = byId("entry-message");
/** @type {Typed[]} */
const TYPED = ["load", "reps", "reserve"];
/** @type {Told[]} */
const TOLD = ["touched", "pain"];
const FIRST = { reps: "5", reserve: "2" }; // before the first set
const FIRST_LOAD = { kg: 20, lb: 45 }; // the bare bar, where a step starts from nothing
const DECIMALS = { kg: 2, lb: 1 };

/**
 * @typedef {"load" | "reps" | "reserve"} Typed
 * @typedef {"touched" | "pain"} Told
 * @typedef {{ field: "candidate" | Typed, message: string }} Fault
 */

/** A mass in kg as a plain number of `unit`. @param {number} mass @param {Kept.MassUnit} unit */
export function shown(mass, unit) {
  return String(Number(convert(mass, "kg", unit).toFixed(DECIMALS[unit])));
}

/**
 * What the entry starts from: the last set, else a common one; the setup that comes next.
 * @param {Kept.SetRecord | null | undefined} last @param {string} next @param {Kept.MassUnit} unit @returns {Kept.Entry}
 */
export function prefill(last, next, unit) {
  const numbers = last ? { load: shown(last.load_kg, unit), reps: String(last.reps), reserve: String(last.reps_in_reserve) } : { load: "", ...FIRST };
  return { candidate: next, ...numbers, unit, touched: true, pain: false };
}

/** @param {Kept.MassUnit} unit */
const loads = (unit) => limits.load.map((value) => shown(value, unit));

/** The first thing wrong with an entry; null where the core will take it. @param {Kept.Entry} entry @returns {Fault | null} */
export function faultOf({ candidate, load, reps, reserve, unit }) {
  if (!candidate) return { field: "candidate", message: say("sets_setup_missing") };
  if (!load.trim()) return { field: "load", message: say("sets_load_missing", ...loads(unit), unit) };
  const read = loadOf(load, unit);
  if (!read) return { field: "load", message: say("sets_load_wrong", load, ...loads(unit), unit) };
  const mass = convert(read.number, read.unit, "kg");
  if (mass < limits.load[0] || mass > limits.load[1]) {
    return { field: "load", message: say("sets_load_range", read.number, read.unit, ...loads(read.unit), read.unit) };
  }
  const whole = countOf(reps);
  if (whole === null || !Number.isInteger(whole) || whole < limits.reps[0] || whole > limits.reps[1]) {
    return { field: "reps", message: say("sets_reps_wrong", reps, ...limits.reps) };
  }
  const left = countOf(reserve);
  if (left === null || left < limits.reserve[0] || left > limits.reserve[1]) {
    return { field: "reserve", message: say("sets_reserve_wrong", reserve, ...limits.reserve) };
  }
  return whole + left > limits.total ? { field: "reps", message: say("sets_total", whole, left, limits.total) } : null;
}

export class Entry {
  #values = prefill(null, "", "kg");
  #changed;

  /** `changed(values)` at every tap and key; `log(values)` for the button. @param {{ changed: (values: Kept.Entry) => void, log: (values: Kept.Entry) => void }} hooks */
  constructor({ changed, log }) {
    this.#changed = changed;
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      log(this.#values);
    });
    for (const name of TYPED) this.#listen(name);
    for (const name of TOLD) {
      const radios = radiosNamed(form, name);
      for (const radio of radios) {
        radio.addEventListener("change", () => {
          this.#set({ [name]: radios.value === "yes" });
          find(form, ".do").scrollIntoView({ block: "nearest" }); // what is said of pain may push it down
        });
      }
    }
    letters.addEventListener("change", ({ target }) => {
      if (target instanceof HTMLInputElement) this.#set({ candidate: target.value });
    });
  }

  /** @param {Typed} name */
  #listen(name) {
    const input = inputNamed(form, name);
    input.addEventListener("input", () => this.#set({ [name]: input.value }));
    input.addEventListener("focus", () => input.select());
    input.addEventListener("keydown", (event) => {
      const sign = event.key === "ArrowUp" ? 1 : event.key === "ArrowDown" ? -1 : 0;
      if (event.key === "Enter") input.blur(); // the key that ends typing must not log
      else if (sign) this.#step(name, sign);
      else return;
      event.preventDefault();
    });
    for (const button of findAll(form, `[data-field="${name}"] [data-step]`)) {
      button.addEventListener("click", () => this.#step(name, Number(button.dataset.step)));
    }
  }

  /** @param {Typed} name @param {number} sign */
  #step(name, sign) {
    const input = inputNamed(form, name);
    const { unit } = this.#values;
    let next;
    if (name === "load") {
      const read = loadOf(input.value, unit);
      if (!read && input.value.trim()) return input.focus(); // what is no weight is left to be mended
      const step = Number(unit === "lb" ? input.dataset.stepLb : input.dataset.stepKg);
      next = read ? nextStep(convert(read.number, read.unit, unit), step, sign) : FIRST_LOAD[unit];
      next = Number(next.toFixed(DECIMALS[unit]));
    } else {
      const at = countOf(input.value);
      if (at === null && input.value.trim()) return input.focus();
      next = sign > 0 ? Math.floor(at ?? limits[name][0] - 1) + 1 : Math.ceil(at ?? limits[name][0] + 1) - 1;
    }
    const [low, high] = name === "load" ? limits.load.map((mass) => convert(mass, "kg", unit)) : limits[name];
    input.value = String(Number(Math.min(Math.max(next, low), high).toFixed(2)));
    this.#set({ [name]: input.value });
  }

  /** @param {Partial<Kept.Entry>} change */
  #set(change) {
    this.#values = { ...this.#values, ...change };
    this.#changed(this.#values);
    this.tell(null);
    this.#showPain();
  }

  get values() {
    return this.#values;
  }

  /** @param {Kept.Entry} values */
  show(values) {
    const before = this.#values;
    const same = Object.entries(values).every(([name, value]) => before[/** @type {keyof Kept.Entry} */ (name)] === value);
    this.#values = values;
    for (const name of TYPED) if (inputNamed(form, name).value !== values[name]) inputNamed(form, name).value = values[name];
    for (const name of TOLD) radiosNamed(form, name).value = values[name] ? "yes" : "no";
    find(form, "[data-unit-word]").textContent = say(values.unit);
    for (const radio of letters.querySelectorAll("input")) radio.checked = radio.value === values.candidate;
    if (!same) this.tell(null); // what was told of these very values stays true
    this.#showPain();
  }

  #showPain() {
    byId("pain-now").hidden = !this.#values.pain;
  }

  /**
   * The setups to choose from, and where in the fair order the entry stands; `editing`: the number of the set that is changed.
   * @param {Pick<Kept.Log, "candidates">} trial @param {Core.Coming | null} plan @param {{ editing: number | null }} state
   */
  place({ candidates }, plan, { editing }) {
    fillLetters(letters, candidates.filter((one) => editing !== null || !isOff(one)), this.#values.candidate);
    const chosen = candidates.find((one) => one.key === this.#values.candidate);
    const texts = {
      letter: chosen?.key ?? "–",
      what: chosen ? chosen.label[0].toUpperCase() + chosen.label.slice(1) : "",
      place: editing !== null ? say("sets_edit", editing) : plan ? say("sets_order", Math.min(plan.done + 1, plan.order.length), plan.order.length) : say("sets_free_order"),
    };
    for (const [name, text] of Object.entries(texts)) {
      const part = find(now, `[data-part="${name}"]`);
      if (part.textContent !== text) part.textContent = text;
    }
    fillList(find(now, '[data-part="found"]'), chosen?.marks ?? [], (mark) => make("li", mark));
    showOrder(find(now, '[data-part="order"]'), editing === null ? plan : null, this.#values.candidate);
  }

  /** What is wrong, beside the entry; null for nothing. @param {Fault | null} fault */
  tell(fault) {
    message.textContent = fault?.message ?? "";
    for (const name of TYPED) {
      const input = inputNamed(form, name);
      if (fault?.field !== name) input.removeAttribute("aria-invalid");
      else {
        input.setAttribute("aria-invalid", "true");
        input.focus();
      }
    }
  }
}

/**
 * The same radio buttons stay, so that the one in use keeps its focus.
 * @param {HTMLElement} box @param {{ key: string }[]} candidates @param {string} chosen
 */
export function fillLetters(box, candidates, chosen, name = box.closest("form") ? "candidate" : "keep") {
  const keys = candidates.map((one) => one.key);
  const there = [...box.querySelectorAll("input")].map((radio) => radio.value);
  if (keys.join() !== there.join()) {
    box.querySelectorAll("label").forEach((label) => label.remove());
    for (const { key } of candidates) {
      const label = document.createElement("label");
      const input = Object.assign(document.createElement("input"), { type: "radio", name, value: key });
      const span = document.createElement("span");
      span.textContent = key;
      label.append(input, span);
      box.append(label);
    }
  }
  for (const radio of box.querySelectorAll("input")) radio.checked = radio.value === chosen;
}

/** The block of the day: what is done is struck out, what comes next is framed. @param {HTMLElement} place @param {Core.Coming | null} plan @param {string} chosen */
function showOrder(place, plan, chosen) {
  place.hidden = !plan;
  if (!plan) return;
  const left = [...plan.left];
  const marks = plan.order.toReversed().map((key) => { // from the end: what is left stands last
    const waits = left.at(-1) === key;
    if (waits) left.pop();
    return { key, waits };
  }).toReversed();
  const next = marks.findIndex((mark) => mark.waits && mark.key === chosen);
  place.replaceChildren(...marks.map(({ key, waits }, i) => {
    const mark = document.createElement(waits ? "span" : "s");
    mark.textContent = key;
    if (i === next) mark.className = "here";
    return mark;
  }));
}
