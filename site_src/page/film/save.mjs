// The measured numbers as a table in a file.

import { say } from "../../words.mjs";
import { handOver } from "../shared/hand-over.mjs";

/** @typedef {string | number | null | undefined} Cell */

const cell = (/** @type {Cell} */ value) => (/[",\n]/.test(String(value ?? "")) ? `"${String(value).replaceAll('"', '""')}"` : String(value ?? ""));
const line = (/** @type {Cell[]} */ cells) => cells.map(cell).join(",");
const metres = (/** @type {number | null | undefined} */ value) => (typeof value === "number" ? value.toFixed(4) : "");

/** A figure with the ends of its interval. @param {Core.Interval} number */
const interval = ({ value, low, high }) => [metres(value), metres(low), metres(high)];

/** Rows of the speeds of a rep: where the bar was quickest, in a slow stretch and at its peaks; the mean has no height. @param {Core.FilmSpeed} speed @returns {[string, Core.FilmExtreme | { speed_m_s: Core.Interval, up_m?: undefined }][]} */
const speedsOf = ({ mean_m_s: mean, quickest, slow }) => [["mean", { speed_m_s: mean }], ...Object.entries(slow ?? { quickest })];

/** An angle, a time, one length by another: value, ends of its interval, plan, unit. @param {Core.FilmNumber} one */
function otherThanLength({ value_deg, low_deg, high_deg, plan_deg, value_s, low_s, high_s, value_times, low_times, high_times, plan_times }) {
  if (value_deg !== undefined) return [...[value_deg, low_deg, high_deg, plan_deg].map(metres), "deg"];
  if (value_s !== undefined) return [...[value_s, low_s, high_s].map(metres), "", "s"];
  if (value_times !== undefined) return [...[value_times, low_times, high_times, plan_times].map(metres), "times"];
  return ["", "", "", "", "m"];
}

/**
 * Tables under each other, of every rep: the numbers, the pauses, the speeds, the speed over height, the way of the bar; then the marks.
 * @param {Core.Measured} answer @param {{ marks: import("./marks.mjs").Marks, clip: Pick<Film.Opened, "times"> | null }} film
 */
export function csvOf(answer, { marks, clip }) {
  const { times = [] } = clip ?? {};
  /** @type {Cell[][]} */
  const rows = [["rep", "number", "measured_m", "low_m", "high_m", "plan_m", "text", "measured", "low", "high", "plan", "unit"]];
  for (const rep of answer.reps) {
    for (const one of rep.numbers) {
      const lengths = [one.value_m, one.low_m, one.high_m, one.plan_m].map(metres);
      rows.push([rep.number, one.label, ...lengths, one.text, ...otherThanLength(one)]);
    }
  }
  rows.push([], ["rep", "pause_s", "low_s", "high_s"]);
  for (const { number, pause_s: pause, pause_low_s: low, pause_high_s: high } of answer.reps) rows.push([number, ...[pause, low, high].map(metres)]);
  rows.push([], ["rep", "speed", "speed_m_s", "low_m_s", "high_m_s", "up_m", "low_m", "high_m"]);
  for (const { number, speed } of answer.reps) {
    for (const [name, { speed_m_s, up_m }] of speed ? speedsOf(speed) : []) rows.push([number, name, ...interval(speed_m_s), ...(up_m ? interval(up_m) : ["", "", ""])]);
  }
  rows.push([], ["rep", "up_m", "speed_m_s", "low_m_s", "high_m_s"]);
  for (const { number, speed } of answer.reps) for (const { up_m, speed_m_s } of speed?.curve ?? []) rows.push([number, metres(up_m), ...interval(speed_m_s)]);
  rows.push([], ["rep", "t_s", "y_m", "z_m", "phase"]);
  for (const { rep, t, y_m, z_m, phase } of answer.path) rows.push([rep, t.toFixed(4), metres(y_m), metres(z_m), phase]);
  rows.push([], ["mark", "t_s", "x_px", "y_px"]);
  for (const { key } of marks.kinds) {
    for (const index of marks.places(key)) rows.push([key, times[index].toFixed(4), marks.all[key][index].x.toFixed(1), marks.all[key][index].y.toFixed(1)]);
  }
  return `${rows.map(line).join("\r\n")}\r\n`;
}

/** Hands the table over: a phone's share sheet, else a download. @param {string} csv @param {string} name */
export async function save(csv, name) {
  const file = new File([csv], `${name.replace(/\.[^.]*$/, "")}-measured.csv`, { type: "text/csv" });
  return (await handOver([file])).how === "saved" ? say("film_csv_saved", file.name) : "";
}
