// Lays the core's answer into the screen.

import { say } from "../../words.mjs";
import { make, row } from "../shared/element.mjs";
import { byId } from "../shared/find.mjs";
import { svgOf } from "../shared/svg.mjs";

const items = (/** @type {string[]} */ texts) => texts.map((text) => make("li", text));

/** @param {string[]} head @param {string[][]} rows */
function table(head, rows) {
  const cells = rows.map(([first, ...others]) => row(first, ...others.map((text) => text.replace(/± (\S+) (cm|in|m\/s|s)\b/g, "±\u00a0$1\u00a0$2"))));
  return make("table", make("thead", make("tr", ...head.map((text) => make("th", { scope: "col" }, text)))), make("tbody", ...cells));
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
    const big = make("span", { class: "big" }, make("span", { "data-part": "value" }, value), make("span", { class: "unit" }, unit));
    return make("div", { "data-key": key }, make("dt", label), make("dd", big, make("span", { class: "note" }, note)));
  }));
  byId("sentences").replaceChildren(...items(answer.sentences));
  byId("measured-warnings").replaceChildren(...items(answer.warnings.map(({ message }) => message)));
  byId("figure").replaceChildren(svgOf(answer.figure.svg));
  byId("figure-text").textContent = answer.figure.text;
  const { speed_figure: speed } = answer;
  byId("speed").hidden = !speed;
  byId("speed-figure").replaceChildren(...(speed ? [svgOf(speed.svg)] : []));
  byId("speed-text").textContent = speed?.text ?? "";
  byId("table").replaceChildren(table(answer.table_head, answer.table));
  const { distance_text: distance, angle_text: angle, advice, budget } = answer.camera;
  byId("camera-said").textContent = [distance, angle, advice].filter(Boolean).join(" ");
  byId("budget").replaceChildren(table([say("film_budget_source"), say("film_budget_says"), say("film_budget_mm")], budget.map(({ source, text, mm }) => [source, text, String(mm)])));
}
