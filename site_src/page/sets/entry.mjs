// The one large entry: which setup, load, reps, reps in reserve, touched, pain. Every change of it is handed on at once to be kept.

import { say } from "../../words.mjs";
import { convert, nextStep } from "../lengths.mjs";
import { isOff } from "./model.mjs";
import { countOf, loadOf } from "./typed.mjs";

const form = document.querySelector("#entry");
const limits = JSON.parse(document.querySelector("main").dataset.limits);
const letters = form.querySelector(".letters");
const now = form.querySelector("#now");
const message = form.querySelector("#entry-message");
const FIRST = { reps: "5", reserve: "2" }; // before the first set
const FIRST_LOAD = { kg: 20, lb: 45 }; // the bare bar, where a step starts from nothing
const DECIMALS = { kg: 2, lb: 1 };

/** A mass in kg as a plain number of `unit`. */
export function shown(mass, unit) {
  return String(Number(convert(mass, "kg", unit).toFixed(DECIMALS[unit])));
}

/** What the entry starts from: the last set, else a common one; the setup that comes next. */
export function prefill(last, next, unit) {
  const numbers = last ? { load: shown(last.load_kg, unit), reps: String(last.reps), reserve: String(last.reps_in_reserve) } : { load: "", ...FIRST };
  return { candidate: next, ...numbers, unit, touched: true, pain: false };
}

function range(name, unit) {
  return limits[name].map((value) => (name === "load" ? shown(value, unit) : String(value)));
}

/** The first thing wrong with an entry: {field, message}; null where the core will take it. */
export function faultOf({ candidate, load, reps, reserve, unit }) {
  if (!candidate) return { field: "candidate", message: say("sets_setup_missing") };
  if (!load.trim()) return { field: "load", message: say("sets_load_missing", ...range("load", unit), unit) };
  const read = loadOf(load, unit);
  if (!read) return { field: "load", message: say("sets_load_wrong", load, ...range("load", unit), unit) };
  const mass = convert(read.number, read.unit, "kg");
  if (mass < limits.load[0] || mass > limits.load[1]) {
    return { field: "load", message: say("sets_load_range", read.number, read.unit, ...range("load", read.unit), read.unit) };
  }
  const whole = countOf(reps);
  if (!Number.isInteger(whole) || whole < limits.reps[0] || whole > limits.reps[1]) {
    return { field: "reps", message: say("sets_reps_wrong", reps, ...range("reps")) };
  }
  const left = countOf(reserve);
  if (left === null || left < limits.reserve[0] || left > limits.reserve[1]) {
    return { field: "reserve", message: say("sets_reserve_wrong", reserve, ...range("reserve")) };
  }
  return whole + left > limits.total ? { field: "reps", message: say("sets_total", whole, left, limits.total) } : null;
}

export class Entry {
  #values = prefill(null, "", "kg");
  #changed;

  /** `changed(values)` at every tap and key; `log(values)` for the button. */
  constructor({ changed, log }) {
    this.#changed = changed;
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      log(this.#values);
    });
    for (const name of ["load", "reps", "reserve"]) this.#listen(name);
    for (const name of ["touched", "pain"]) {
      for (const radio of form.elements[name]) {
        radio.addEventListener("change", () => {
          this.#set({ [name]: form.elements[name].value === "yes" });
          form.querySelector(".do").scrollIntoView({ block: "nearest" }); // what is said of pain may push it down
        });
      }
    }
    letters.addEventListener("change", ({ target }) => this.#set({ candidate: target.value }));
  }

  #listen(name) {
    const input = form.elements[name];
    input.addEventListener("input", () => this.#set({ [name]: input.value }));
    input.addEventListener("focus", () => input.select());
    input.addEventListener("keydown", (event) => {
      const sign = { ArrowUp: 1, ArrowDown: -1 }[event.key];
      if (event.key === "Enter") input.blur(); // the key that ends typing must not log
      else if (sign) this.#step(name, sign);
      else return;
      event.preventDefault();
    });
    for (const button of form.querySelectorAll(`[data-field="${name}"] [data-step]`)) {
      button.addEventListener("click", () => this.#step(name, Number(button.dataset.step)));
    }
  }

  #step(name, sign) {
    const input = form.elements[name];
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

  #set(change) {
    this.#values = { ...this.#values, ...change };
    this.#changed(this.#values);
    this.tell(null);
    this.#showPain();
  }

  get values() {
    return this.#values;
  }

  show(values) {
    const same = Object.entries(values).every(([name, value]) => this.#values[name] === value);
    this.#values = values;
    for (const name of ["load", "reps", "reserve"]) if (form.elements[name].value !== values[name]) form.elements[name].value = values[name];
    for (const name of ["touched", "pain"]) form.elements[name].value = values[name] ? "yes" : "no";
    form.querySelector("[data-unit-word]").textContent = say(values.unit);
    for (const radio of letters.querySelectorAll("input")) radio.checked = radio.value === values.candidate;
    if (!same) this.tell(null); // what was told of these very values stays true
    this.#showPain();
  }

  #showPain() {
    form.querySelector("#pain-now").hidden = !this.#values.pain;
  }

  /** The setups to choose from, and where in the fair order the entry stands; `editing`: the number of the set that is changed. */
  place({ candidates }, plan, { editing = null }) {
    fillLetters(letters, candidates.filter((one) => editing !== null || !isOff(one)), this.#values.candidate);
    const chosen = candidates.find((one) => one.key === this.#values.candidate);
    const [grip = "", touch = ""] = chosen?.label.split(", ") ?? [];
    const texts = {
      letter: chosen?.key ?? "–",
      grip,
      touch: touch && touch[0].toUpperCase() + touch.slice(1),
      place: editing !== null ? say("sets_edit", editing) : plan ? say("sets_order", Math.min(plan.done + 1, plan.order.length), plan.order.length) : say("sets_free_order"),
    };
    for (const [name, text] of Object.entries(texts)) {
      const part = now.querySelector(`[data-part="${name}"]`);
      if (part.textContent !== text) part.textContent = text;
    }
    showOrder(now.querySelector('[data-part="order"]'), editing === null ? plan : null, this.#values.candidate);
  }

  /** What is wrong, beside the entry; null for nothing. */
  tell(fault) {
    message.textContent = fault?.message ?? "";
    for (const name of ["load", "reps", "reserve"]) {
      if (fault?.field === name) form.elements[name].setAttribute("aria-invalid", "true");
      else form.elements[name].removeAttribute("aria-invalid");
    }
    if (fault) form.elements[fault.field]?.focus?.();
  }
}

/** The same radio buttons stay, so that the one in use keeps its focus. */
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

/** The block of the day: what is done is struck out, what comes next is framed. */
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
