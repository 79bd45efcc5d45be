// What was followed and what was lost: a strip along the time, a list to go there, and the same in words.

import { say } from "../../words.mjs";
import { button, make, makeSvg } from "../shared/element.mjs";
import { byId } from "../shared/find.mjs";
import { FOLLOWED_S } from "./clip.mjs";
import { seconds } from "./facts.mjs";
import { stretches } from "./marks.mjs";

const SHOWN = 12;
const WIDE = 1000; // of the strip

/** `goTo(index)`: a lost stretch was tapped. @param {import("./state.mjs").State} film @param {(index: number) => void} goTo */
export function showLost({ clip, track }, goTo) {
  if (!clip) return;
  const { times } = clip;
  const parts = stretches(track);
  const gone = parts.filter(({ lost }) => lost);
  const strip = byId("strip", SVGElement);
  const share = WIDE / times.length;
  strip.replaceChildren(...parts.map(({ from, to, lost }) => makeSvg("rect", { x: from * share, y: 0, width: (to - from + 1) * share, height: 10, class: lost ? "gone" : "held" })));
  const list = (/** @type {Film.Stretch[]} */ some) => some.map(({ from, to }) => say("film_from_to", seconds(times[from]), seconds(times[to]))).join(", ") || say("film_nothing");
  const held = parts.filter(({ lost }) => !lost);
  strip.setAttribute("aria-label", parts.length ? say("film_strip", list(held), list(gone)) : say("film_strip_none"));
  byId("lost").replaceChildren(...gone.slice(0, SHOWN).map(({ from, to, why }) => {
    const text = say(why === "left" ? "film_lost_left" : "film_lost_covered", seconds(times[from]), seconds(times[to]));
    return make("li", button(text, () => goTo(from)));
  }));
}

/** What came of following from one picture to another. @param {import("./state.mjs").State} film @param {number} from @param {number} last that there should be @param {number} thinned each so-many-th was looked at in the end */
export function summary({ clip, track }, from, last, thinned) {
  const { times = [] } = clip ?? {};
  const seen = [...track.keys()].filter((index) => index >= from);
  const promised = last;
  last = Math.max(from, ...seen); // a file may end before its header says
  const gaps = last - from + 1 - seen.length;
  const gone = stretches(track).filter(({ lost, to }) => lost && to >= from);
  const lost = gone.reduce((sum, one) => sum + one.to - Math.max(from, one.from) + 1, 0);
  const span = [seen.length, seconds(times[from]), seconds(times[last])];
  const parts = [lost ? say("film_done_lost", ...span, lost, gone.length) : say("film_done", ...span)];
  if (thinned > 1) parts.push(say("film_thinned", thinned));
  else if (gaps) parts.push(say("film_gaps", gaps));
  if (last < promised - thinned + 1) parts.push(say("film_cut_short", promised - last, seconds(times[last])));
  else if (last < times.length - 1) parts.push(say("film_limit", seconds(times[from] + FOLLOWED_S)));
  return parts.join(" ");
}
