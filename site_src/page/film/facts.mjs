// What a clip is, in words.

import { say } from "../../words.mjs";

const EVEN = 1.5; // the longest step between pictures may be this times the shortest
const RATES = { low: 24, high: 90 };

/** @param {import("./state.mjs").Open} shown */
export function facts(shown) {
  const { width, height } = shown.picture;
  const lens = shown.info.lens ? [say("film_lens", shown.info.lens)] : [];
  if (shown.kind === "photo") return [say("film_size_photo", width, height), ...lens].join("; ");
  const { times: all } = shown;
  const steps = all.slice(1).map((time, i) => time - all[i]).sort((a, b) => a - b);
  const usual = steps[steps.length >> 1] || 1;
  const rate = Math.round(1 / usual);
  const long = all[all.length - 1] - all[0] + (shown.last || 0);
  const parts = steps.length ? [say("film_size", width, height, rate, long.toFixed(1))] : [say("film_size_photo", width, height), say("film_one_picture")];
  if (shown.info.turned) parts.push(say("film_turned"));
  const [least, most] = [steps[Math.floor(0.02 * steps.length)], steps[Math.floor(0.98 * (steps.length - 1))]];
  if (steps.length > 4 && most > EVEN * least) parts.push(say("film_uneven", Math.round(1000 * least), Math.round(1000 * most)));
  if (steps.length && rate < RATES.low) parts.push(say("film_slow_rate", rate));
  if (rate > RATES.high) parts.push(say("film_high_rate", rate));
  if (shown.info.missing) parts.push(say("film_missing", shown.info.missing));
  parts.push(...lens);
  if (!shown.info.decodes) parts.push(say("film_by_seeking"));
  return parts.join("; ");
}

export const seconds = (/** @type {number} */ time) => time.toFixed(2);
