// Lays the list of sets, the setups and the core's verdict into the page.

import { say } from "../../words.mjs";
import { button, fillList, make, row, showText } from "../shared/element.mjs";
import { around, byId, find } from "../shared/find.mjs";
import { LIFT } from "../shared/record.mjs";
import { svgOf } from "../shared/svg.mjs";
import { shown } from "./entry.mjs";
import { isOff } from "../shared/model.mjs";

const notHeld = JSON.parse(find(document, "main").dataset.notHeld ?? "{}")[LIFT];
const verdict = byId("verdict");
const evidence = byId("evidence");
/** @param {HTMLElement} box @param {string} name */
const part = (box, name) => find(box, `[data-part="${name}"]`);

// ---- sets

/**
 * `maxima`: {number of a set: its row of the core's answer}; sets the core has not seen yet have none.
 * @param {Pick<Kept.Log, "sets">} trial
 * @param {{ unit: Kept.MassUnit, date: string, editing: number | undefined, maxima: { [number: number]: Core.SetRow | undefined } }} state
 */
export function showSets({ sets }, { unit, date, editing, maxima }) {
  const rowOf = (/** @type {Kept.SetRecord} */ set) => {
    const notes = [
      say("sets_row_left", set.reps_in_reserve), set.touched ? "" : notHeld, set.pain ? say("sets_row_pain") : "",
    ].filter(Boolean).join(", ");
    const { e1rm: max, between, film } = maxima[set.number] ?? {};
    return { set, load: shown(set.load_kg, unit), unit, edited: set.number === editing, old: set.date !== date, notes, max, between, film };
  };
  const newestFirst = sets.toReversed().map(rowOf);
  fillList(byId("today"), newestFirst.filter(({ old }) => !old), setRow);
  const before = newestFirst.filter(({ old }) => old);
  fillList(find(byId("earlier"), "ol"), before, setRow);
  part(byId("earlier"), "count").textContent = String(before.length);
  byId("earlier").hidden = !before.length;
  byId("list-none").hidden = sets.length > 0;
}

/**
 * @param {{ set: Kept.SetRecord, load: string, unit: Kept.MassUnit, edited: boolean, old: boolean, notes: string, max?: string, between?: string,
 *   film?: string }} row
 */
function setRow({ set, load, unit, edited, old, notes, max, between, film }) {
  const name = say("sets_row", set.number, set.candidate, `${load} ${unit}`, set.reps, notes);
  return make("li", make("button", { type: "button", "data-number": set.number, "aria-label": name, "aria-current": edited && "true" },
    make("span", { class: "letter" }, set.candidate),
    make("span", { class: "done" }, `${load} × ${set.reps}`),
    make("span", { class: "max" }, max ? say("sets_row_max", max) : ""),
    make("span", { class: "mark" }, [`${set.number} · ${old ? `${set.date} · ` : ""}${notes}`, film].filter(Boolean).join(", ")),
    make("span", { class: "between" }, between ? say("sets_row_between", between) : "")));
}

/** @param {(number: number) => void} callback */
export function onSetTapped(callback) {
  byId("list").addEventListener("click", (event) => {
    const number = around(event, "[data-number]")?.dataset.number;
    if (number) callback(Number(number));
  });
}

// ---- setups

const counted = (/** @type {number} */ count) => (count === 1 ? say("sets_count_one") : say("sets_count", count));

/** @param {Pick<Kept.Log, "candidates" | "sets">} trial @param {{ putBack: (key: string) => void, takeOff: (key: string) => void }} hooks */
export function showSetups({ candidates, sets }, hooks) {
  const rows = candidates.map((candidate) => {
    const { key, label, present, cleared, pain } = candidate;
    const count = sets.filter((set) => set.candidate === key).length;
    const notes = [
      present ? say("sets_present") : "", isOff(candidate) ? say("sets_off_list") : pain && cleared ? say("sets_cleared") : "", counted(count),
    ];
    return { key, label, marks: candidate.marks ?? [], notes: notes.filter(Boolean).join(", "), off: isOff(candidate), done: count > 0 };
  });
  fillList(find(byId("setups"), ".setups-list"), rows, (one) => setupRow(one, hooks)); // an open question stays
  const off = candidates.filter(isOff).map((one) => one.key);
  showText(byId("off"), off.length ? say("sets_off", off.join(", ")) : "");
}

/** @param {{ key: string, label: string, marks: string[], notes: string, off: boolean, done: boolean }} row @param {{ putBack: (key: string) => void, takeOff: (key: string) => void }} hooks */
function setupRow({ key, label, marks, notes, off, done }, { putBack, takeOff }) {
  const ways = off ? wayBack(key, putBack) : done ? [] : [button(say("sets_take_off", key), () => takeOff(key))];
  return make("li", make("span", { class: "letter" }, key), make("span", label, ...marks.map((mark) => make("span", { class: "quiet" }, mark)), make("span", { class: "quiet" }, notes)), ...ways);
}

/** After pain the way back is a person's own, in two steps. @param {string} key @param {(key: string) => void} putBack */
function wayBack(key, putBack) {
  const sure = make("div", { class: "sure", hidden: true }, make("p", say("sets_put_back_sure", key)), button(say("sets_put_back_yes", key), () => {
    sure.hidden = true;
    open.setAttribute("aria-expanded", "false");
    putBack(key);
  }));
  const open = button(say("sets_put_back", key), () => {
    sure.hidden = !sure.hidden;
    open.setAttribute("aria-expanded", String(!sure.hidden));
  }, { "aria-expanded": "false" });
  return [open, sure];
}

/**
 * Changes that the core did not take: why, what they were, and the two ways on.
 * @param {Core.RefusedChange[]} refused @param {{ again: (place: number) => void, drop: (place: number) => void }} ways
 */
export function showRefused(refused, { again, drop }) {
  byId("refused").replaceChildren(...refused.map(({ said, error, change }, place) => make("div", { class: "notice trouble", role: "alert" },
    make("p", say("sets_refused", said, error.message, error.remedy)),
    change && "set" in change && button(say("sets_again"), () => again(place)),
    button(say("sets_drop"), () => drop(place)))));
}

// ---- the verdict

/** @param {Core.Standing} s @param {string | null} against */
function standing(s, against) {
  const value = { min: 0, max: 1, value: s.chance_value };
  const facts = [
    s.word && make("dd", make("strong", s.word)),
    s.off_list && make("dd", say("sets_off_list")),
    !s.off_list && s.chance && make("dd", make("strong", s.chance), " ", make("span", say("sets_chance")), make("meter", value, s.chance)),
    !s.base && s.gain && make("dd", make("strong", s.gain), " ", make("span", say("sets_gain", against, s.gain_between, s.gain_mass))),
  ];
  return make("div", { "data-key": s.key }, make("dt", make("span", { class: "letter" }, s.key), " ", make("span", s.label)), ...facts);
}

/** @param {Core.Standing} s */
const cells = (s) => row(s.key, String(s.sets), s.chance || "–", s.gain || "–", s.gain_between || "–");

/** @param {string} name @param {string} text */
function fact(name, text) {
  const place = part(verdict, name);
  showText(place, text, place.parentElement ?? place);
}

let example = false;

/** Whether another lift's invented trial stands where the page brought the first one's. */
export const exampleShown = () => example;

/** @param {Core.Verdict} answer */
export function showExample(answer) {
  showVerdict(answer);
  verdict.dataset.age = evidence.dataset.age = "example";
  fillList(byId("cautions-said"), [], () => make("li"));
  example = true;
}

/** The core's whole answer. @param {Core.Verdict} answer */
export function showVerdict(answer) {
  example = false;
  verdict.dataset.age = evidence.dataset.age = "own";
  part(verdict, "headline").textContent = answer.headline;
  part(verdict, "why").textContent = answer.why;
  showText(part(verdict, "lean"), answer.lean);
  showText(byId("unfair"), answer.finished ? "" : answer.unfair);
  fillList(byId("cautions-said"), [...answer.cautions, ...(answer.odd ? [answer.odd.text] : [])], (text) => make("li", text));
  part(verdict, "standings").replaceChildren(...answer.standings.map((s) => standing(s, answer.against)));
  fact("needed", answer.needed);
  fact("telling", answer.telling?.reason ?? "");
  part(verdict, "level-of").textContent = say("sets_level", answer.against ?? "");
  fact("level", answer.one_rep_max);
  evidence.hidden = !answer.figure;
  if (!answer.figure) return;
  part(evidence, "svg").replaceChildren(svgOf(answer.figure.svg));
  part(evidence, "text").textContent = answer.figure.text;
  part(evidence, "table").replaceChildren(...answer.standings.map(cells));
  part(evidence, "gain-head").textContent = say("sets_gain_head", answer.against ?? "");
}

/** While there is no trial the invented one stands here; while one is being worked out, nothing of another's. @param {"example" | "waiting"} age */
export function showWhose(age) {
  verdict.dataset.age = evidence.dataset.age = age;
  showText(byId("unfair"), "");
}
