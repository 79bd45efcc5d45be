// Lays the core's answer into the screen.

import { say } from "../../words.mjs";
import { byId } from "../shared/find.mjs";
import { svgOf } from "../shared/svg.mjs";


/** @template {keyof HTMLElementTagNameMap} N @param {N} name @param {Kept.Texts} attributes */
function made(name, text = "", attributes = {}) {
  const element = document.createElement(name);
  if (text) element.textContent = text;
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  return element;
}

const items = (/** @type {string[]} */ texts) => texts.map((text) => made("li", text));

/** @param {string[]} head @param {string[][]} rows */
function table(head, rows) {
  const element = made("table");
  const top = element.createTHead().insertRow();
  for (const text of head) top.append(made("th", text, { scope: "col" }));
  const body = element.createTBody();
  for (const [first, ...others] of rows) {
    const row = body.insertRow();
    row.append(made("th", first, { scope: "row" }));
    for (const text of others) row.append(made("td", text.replace(/± (\S+) (cm|in)\b/, "±\u00a0$1\u00a0$2")));
  }
  return element;
}

export function clearAnswer(text = byId("measured-said").dataset.pending ?? "") {
  byId("answer").hidden = true;
  byId("measured-errors").replaceChildren();
  byId("measured-said").textContent = text;
}

/** Errors that belong to no field of the form. @param {Core.Problem[]} errors */
export function showErrors(errors) {
  const others = errors.filter(({ field }) => !document.querySelector(`#about [data-field="${CSS.escape(field ?? "")}"]`));
  byId("measured-errors").replaceChildren(...items((others.length ? others : errors).map(({ message, remedy }) => `${message} ${remedy}`)));
}

/** @param {Core.Measured} answer */
export function showAnswer(answer) {
  byId("measured-errors").replaceChildren();
  byId("answer").hidden = false;
  byId("headline").replaceChildren(...answer.headline.map(({ key, label, value, unit, note }) => {
    const box = made("div", "", { "data-key": key });
    const big = made("span", "", { class: "big" });
    big.append(made("span", value, { "data-part": "value" }), made("span", unit, { class: "unit" }));
    const said = made("dd");
    said.append(big, made("span", note ?? "", { class: "note" }));
    box.append(made("dt", label), said);
    return box;
  }));
  byId("sentences").replaceChildren(...items(answer.sentences));
  byId("measured-warnings").replaceChildren(...items(answer.warnings.map(({ message }) => message)));
  byId("figure").replaceChildren(svgOf(answer.figure.svg));
  byId("figure-text").textContent = answer.figure.text;
  byId("table").replaceChildren(table(answer.table_head, answer.table));
  const { distance_text: distance, angle_text: angle, advice, budget } = answer.camera;
  byId("camera-said").textContent = [distance, angle, advice].filter(Boolean).join(" ");
  byId("budget").replaceChildren(table([say("film_budget_source"), say("film_budget_says"), say("film_budget_mm")], budget.map(({ source, text, mm }) => [source, text, String(mm)])));
}
