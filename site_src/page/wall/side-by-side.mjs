// Lifters side by side: their figures on one floor and one scale, their numbers in one table, what differs in words.

import { make, row } from "../shared/element.mjs";
import { byId, find } from "../shared/find.mjs";
import { inWords } from "../shared/said.mjs";
import { svgOf } from "../shared/svg.mjs";

const WIDTH = 500; // of a figure, its own units
const HEIGHT = 360;

/** A figure with ids of its own, as large as the others' scale asks for. @param {Core.FigureView} view @param {number} place @param {number} least units per metre of the smallest */
function figureOf({ key, svg, scale }, place, least) {
  const drawn = svgOf(svg.replaceAll(`fig-${key}-`, `fig-${key}-${place}-`));
  const size = least / scale.per_m;
  drawn.removeAttribute("preserveAspectRatio");
  drawn.style.inlineSize = `${(100 * size).toFixed(2)}%`;
  drawn.style.marginBlockEnd = `calc(${(((scale.floor ?? HEIGHT) - HEIGHT) / WIDTH * 100 * size).toFixed(2)}% )`;
  return drawn;
}

/** @param {Core.WallQuestions["wall/compare"]["answer"]} response */
export function showSideBySide(response) {
  const box = byId("compared");
  box.hidden = false;
  byId("told").replaceChildren();
  if (!response.ok) {
    byId("views").replaceChildren();
    byId("told").replaceChildren(...response.errors.map((problem) => make("li", inWords(problem))));
    return;
  }
  const least = Math.min(...response.views.map(({ scale }) => scale.per_m));
  byId("views").replaceChildren(...response.people.map(({ name }, i) => make("figure", figureOf(response.views[i], i, least), make("figcaption", name))));
  const table = byId("numbers", HTMLTableElement);
  find(table, "thead").replaceChildren(row(make("td"), ...response.people.map(({ name }) => make("th", { scope: "col" }, name))));
  find(table, "tbody").replaceChildren(...response.rows.map(({ label, cells }) => row(label, ...cells.map((cell) => {
    if (!cell) return "–";
    return cell.unit === "°" || !cell.unit ? `${cell.value}${cell.unit}` : `${cell.value} ${cell.unit}`;
  }))));
  byId("told").replaceChildren(...response.told.map((text) => make("li", text)));
}
