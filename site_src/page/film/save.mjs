// The measured numbers as a table in a file.

import { say } from "../../words.mjs";
import { handOver } from "../shared/hand-over.mjs";
import { KINDS } from "./marks.mjs";

/** @typedef {string | number | null | undefined} Cell */

const cell = (/** @type {Cell} */ value) => (/[",\n]/.test(String(value ?? "")) ? `"${String(value).replaceAll('"', '""')}"` : String(value ?? ""));
const line = (/** @type {Cell[]} */ cells) => cells.map(cell).join(",");
const metres = (/** @type {number | null | undefined} */ value) => (typeof value === "number" ? value.toFixed(4) : "");

/** Three tables under each other: the numbers of every rep, the way of the bar, the marks. @param {Core.Measured} answer @param {import("./marks.mjs").Marks} marks @param {Pick<Film.Opened, "times">} clip */
export function csvOf(answer, marks, clip) {
  /** @type {Cell[][]} */
  const rows = [["rep", "number", "measured_m", "low_m", "high_m", "plan_m", "text"]];
  for (const rep of answer.reps) {
    for (const one of rep.numbers) rows.push([rep.number, one.label, metres(one.value_m), metres(one.low_m), metres(one.high_m), metres(one.plan_m), one.text]);
  }
  rows.push([], ["t_s", "y_m", "z_m", "phase"]);
  for (const { t, y_m, z_m, phase } of answer.path) rows.push([t.toFixed(4), metres(y_m), metres(z_m), phase]);
  rows.push([], ["mark", "t_s", "x_px", "y_px"]);
  for (const kind of KINDS) {
    for (const index of marks.places(kind)) rows.push([kind, clip.times[index].toFixed(4), marks.all[kind][index].x.toFixed(1), marks.all[kind][index].y.toFixed(1)]);
  }
  return `${rows.map(line).join("\r\n")}\r\n`;
}

/** Hands the table over: a phone's share sheet, else a download. @param {string} csv @param {string} name */
export async function save(csv, name) {
  const file = new File([csv], `${name.replace(/\.[^.]*$/, "")}-measured.csv`, { type: "text/csv" });
  return (await handOver([file])).how === "saved" ? say("film_csv_saved", file.name) : "";
}
