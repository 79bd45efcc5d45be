// Lays out what the core said about a sheet: columns, rows, what is to be put right, setups.

import { say } from "../../words.mjs";
import { make, row } from "../shared/element.mjs";
import { inWords, listed } from "../shared/said.mjs";
import { pageOf } from "../shared/lift.mjs";
import { byId, find, findAll } from "../shared/find.mjs";

const PROBLEMS = 30; // shown at once
const ROWS = 12;
const asRead = byId("as-read");
const columns = find(document, "#columns tbody");
const rows = byId("rows");
const problems = byId("problems");
const rowsOfSetups = find(document, "#results tbody");
const headOfSetups = find(document, "#results thead");
/** @type {Core.Sheet["shown"]} */
let shown = [];
const { nothing } = byId("setups").dataset;

/** "Row 6, Nemo"; a row without a name goes by its number alone. @param {{ row: number, name: string }} of */
function rowName({ row: number, name }) {
  const alone = say("team_row", number);
  return name === alone ? alone : say("team_row_of", number, name);
}

/** @typedef {(header: string, key: string) => void} OnAssign a person said what a column is */

/** The sheet as it was read. @param {Core.Sheet} sheet @param {OnAssign} onAssign */
export function showRead(sheet, onAssign) {
  asRead.hidden = false;
  find(asRead, '[data-part="how"]').textContent = say("team_read", sheet.rows.length, new Set(sheet.problems.map((one) => one.row)).size, sheet.how);
  find(asRead, '[data-part="notes"]').replaceChildren(...sheet.notes.map((note) => make("li", note)));
  showColumns(sheet, onAssign);
  showRows(sheet);
  showProblems(sheet.problems);
}

/** @param {Core.Sheet} sheet @param {OnAssign} onAssign */
function showColumns(sheet, onAssign) {
  const focused = document.activeElement?.id;
  columns.replaceChildren(...sheet.columns.map((column, i) => {
    const options = [{ key: "", label: nothing }, ...sheet.keys].map(({ key, label }) => make("option", { value: key }, label));
    const change = () => onAssign(column.header, select.value);
    const select = make("select", { id: `column-${i}`, "aria-label": column.header || String(i + 1), change }, ...options);
    select.value = column.key;
    const assumed = column.unit && !column.unit_in_header && make("span", { class: "quiet" }, say("team_assumed", column.unit));
    return row(make("th", { scope: "row", "data-state": column.state }, column.header), make("td", select, assumed));
  }));
  if (focused) document.getElementById(focused)?.focus();
}

/** @param {Core.Sheet} sheet */
function showRows(sheet) {
  const used = sheet.columns.filter((column) => column.key && sheet.rows.some((one) => one.understood[column.key]));
  const label = (/** @type {Core.SheetColumn} */ column) => make("th", { scope: "col" }, column.label);
  find(rows, "thead").replaceChildren(row(make("td"), ...used.map(label)));
  find(rows, "tbody").replaceChildren(...sheet.rows.slice(0, ROWS).map((one) =>
    row(rowName(one), ...used.map((column) => one.understood[column.key] ?? "–"))));
  find(rows, '[data-part="more"]').textContent = sheet.rows.length > ROWS ? say("team_more_rows", sheet.rows.length - ROWS) : "";
}

/** @param {Core.SheetProblem[]} found */
function showProblems(found) {
  problems.hidden = !found.length;
  const lines = found.map((one) => make("li", make("strong", listed([rowName(one), one.column])), " ", inWords(one)));
  const rest = lines.splice(PROBLEMS);
  const [first, others] = findAll(problems, "ol");
  first.replaceChildren(...lines);
  others.replaceChildren(...rest);
  find(problems, "details").hidden = !rest.length;
  find(problems, "summary").textContent = say("team_more_problems", rest.length);
}

export function hideRead() {
  asRead.hidden = true;
}

/** The table's head, and nothing below it. @param {Core.Sheet["shown"]} results */
export function clearResults(results) {
  shown = results;
  rowsOfSetups.replaceChildren();
  const [first, ...others] = [headOfSetups.dataset.lifter, ...shown.map(({ label }) => label)].map((label) => make("th", { scope: "col" }, label));
  headOfSetups.replaceChildren(row(first, ...others));
}

/** Setups of a few more rows, below those that are there. @param {Core.RowResult[]} some */
export function addResults(some) {
  rowsOfSetups.append(...some.map((one) => {
    if (!one.ok) return row(one.name, make("td", { colspan: shown.length, class: "none" }, make("strong", say("team_no_setup")), " ", one.cells.problem));
    const head = make("th", { scope: "row" }, make("a", { href: `${pageOf()}#${one.fragment}` }, one.name));
    return row(head, ...shown.map(({ key }) => make("td", { class: Number.isNaN(Number(one.cells[key])) && "word" }, one.cells[key])));
  }));
}
