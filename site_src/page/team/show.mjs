// Lays out what the core said about a sheet: columns, rows, what is to be put right, setups.

import { say } from "../../words.mjs";
import { byId, find, findAll } from "../shared/find.mjs";

const PROBLEMS = 30; // shown here; all of them stand in the sheet that is saved
const ROWS = 12;
const asRead = byId("as-read");
const columns = find(document, "#columns tbody");
const rows = byId("rows");
const problems = byId("problems");
const results = find(document, "#results tbody");
const { nothing } = byId("setups").dataset;

/** @template {keyof HTMLElementTagNameMap} N @param {N} name @param {Kept.Texts} attributes */
function element(name, text = "", attributes = {}) {
  const made = document.createElement(name);
  made.textContent = text;
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  return made;
}

/** @param {Node} head @param {Node[]} cells */
function row(head, ...cells) {
  const made = document.createElement("tr");
  made.append(head, ...cells);
  return made;
}

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
  find(asRead, '[data-part="notes"]').replaceChildren(...sheet.notes.map((note) => element("li", note)));
  showColumns(sheet, onAssign);
  showRows(sheet);
  showProblems(sheet.problems);
}

/** @param {Core.Sheet} sheet @param {OnAssign} onAssign */
function showColumns(sheet, onAssign) {
  const focused = document.activeElement?.id;
  columns.replaceChildren(...sheet.columns.map((column, i) => {
    const select = element("select", "", { id: `column-${i}`, "aria-label": column.header || String(i + 1) });
    select.append(element("option", nothing, { value: "" }));
    for (const { key, label } of sheet.keys) select.append(element("option", label, { value: key }));
    select.value = column.key;
    select.addEventListener("change", () => onAssign(column.header, select.value));
    const as = element("td");
    as.append(select);
    if (column.unit && !column.unit_in_header) as.append(element("span", say("team_assumed", column.unit), { class: "quiet" }));
    return row(element("th", column.header, { scope: "row", "data-state": column.state }), as);
  }));
  if (focused) document.getElementById(focused)?.focus();
}

/** @param {Core.Sheet} sheet */
function showRows(sheet) {
  const used = sheet.columns.filter((column) => column.key && sheet.rows.some((one) => one.understood[column.key]));
  const label = (/** @type {Core.SheetColumn} */ column) => element("th", column.label, { scope: "col" });
  find(rows, "thead").replaceChildren(row(element("td"), ...used.map(label)));
  find(rows, "tbody").replaceChildren(...sheet.rows.slice(0, ROWS).map((one) =>
    row(element("th", rowName(one), { scope: "row" }), ...used.map((column) => element("td", one.understood[column.key] ?? "–")))));
  find(rows, '[data-part="more"]').textContent = sheet.rows.length > ROWS ? say("team_more_rows", sheet.rows.length - ROWS) : "";
}

/** @param {Core.SheetProblem[]} found */
function showProblems(found) {
  problems.hidden = !found.length;
  find(problems, "ol").replaceChildren(...found.slice(0, PROBLEMS).map((one) => {
    const item = element("li");
    const where = [rowName(one), one.column].filter(Boolean).join(", ");
    item.append(element("strong", where), ` ${one.message} ${one.remedy}`);
    return item;
  }));
  find(problems, '[data-part="more"]').textContent = found.length > PROBLEMS ? say("team_more_problems", found.length - PROBLEMS) : "";
}

export function hideRead() {
  asRead.hidden = true;
}

/** @param {string} unit */
export function clearResults(unit) {
  results.replaceChildren();
  for (const box of findAll(document, '#results [data-part="unit"]')) box.textContent = unit;
}

/** Setups of a few more rows, below those that are there. @param {Core.RowResult[]} some */
export function addResults(some) {
  results.append(...some.map((one) => {
    const head = element("th", "", { scope: "row" });
    if (!one.ok) {
      head.textContent = one.name;
      return row(head, element("td", say("team_no_setup"), { colspan: "3", class: "none" }));
    }
    head.append(element("a", one.name, { href: `./#${one.fragment}` }));
    return row(head, ...["grip", "touch", "tuck"].map((key) => element("td", one.cells[key])));
  }));
}
