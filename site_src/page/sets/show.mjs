// Lays the list of sets, the setups and the core's verdict into the page.

import { say } from "../../words.mjs";
import { around, byId, find } from "../shared/find.mjs";
import { svgOf } from "../shared/svg.mjs";
import { shown } from "./entry.mjs";
import { isOff } from "../shared/model.mjs";

const verdict = byId("verdict");
const evidence = byId("evidence");
/** @param {HTMLElement} box @param {string} name */
const part = (box, name) => find(box, `[data-part="${name}"]`);

/** @template {keyof HTMLElementTagNameMap} N @param {N} name @param {(string | Node)[]} inside */
function make(name, text = "", ...inside) {
  const element = document.createElement(name);
  element.textContent = text;
  element.append(...inside);
  return element;
}

/** @template {keyof HTMLElementTagNameMap} N @param {N} name @param {string} kind @param {string} text @param {(string | Node)[]} inside */
function classed(name, kind, text, ...inside) {
  const element = make(name, text, ...inside);
  element.className = kind;
  return element;
}

/** @param {string} text @param {(() => void)} [onClick] */
function button(text, onClick) {
  const element = make("button", text);
  element.type = "button";
  if (onClick) element.addEventListener("click", onClick);
  return element;
}

/** Puts rows into a list; a row that says the same stays as it is, so that it keeps its focus. @param {HTMLElement} list @param {HTMLElement[]} rows */
function lay(list, rows) {
  rows.forEach((row, i) => {
    const old = list.children[i];
    if (old?.outerHTML === row.outerHTML) return;
    if (old) old.replaceWith(row);
    else list.append(row);
  });
  while (list.children.length > rows.length) list.lastElementChild?.remove();
}

// ---- sets

/**
 * `maxima`: {number of a set: its row of the core's answer}; sets the core has not seen yet have none.
 * @param {Pick<Kept.Log, "sets">} trial
 * @param {{ unit: Kept.MassUnit, date: string, editing: number | undefined, maxima: { [number: number]: Core.SetRow | undefined } }} state
 */
export function showSets({ sets }, { unit, date, editing, maxima }) {
  const row = (/** @type {Kept.SetRecord} */ set) => {
    const load = shown(set.load_kg, unit);
    const notes = [
      say("sets_row_left", set.reps_in_reserve), set.touched ? "" : say("sets_row_elsewhere"), set.pain ? say("sets_row_pain") : "",
    ].filter(Boolean).join(", ");
    const { e1rm: max, between, film } = maxima[set.number] ?? {};
    const edit = button("");
    edit.dataset.number = String(set.number);
    edit.setAttribute("aria-label", say("sets_row", set.number, set.candidate, `${load} ${unit}`, set.reps, notes));
    if (set.number === editing) edit.setAttribute("aria-current", "true");
    edit.append(
      classed("span", "letter", set.candidate),
      classed("span", "done", `${load} × ${set.reps}`),
      classed("span", "max", max ? say("sets_row_max", max) : ""),
      classed("span", "mark", [`${set.number} · ${set.date === date ? "" : `${set.date} · `}${notes}`, film].filter(Boolean).join(", ")),
      classed("span", "between", between ? say("sets_row_between", between) : ""),
    );
    return make("li", "", edit);
  };
  const newestFirst = sets.toReversed();
  lay(byId("today"), newestFirst.filter((set) => set.date === date).map(row));
  const before = newestFirst.filter((set) => set.date !== date);
  lay(find(byId("earlier"), "ol"), before.map(row));
  part(byId("earlier"), "count").textContent = String(before.length);
  byId("earlier").hidden = !before.length;
  byId("list-none").hidden = sets.length > 0;
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
export function showSetups({ candidates, sets }, { putBack, takeOff }) {
  const rows = candidates.map((candidate) => {
    const { key, label, present, cleared, pain } = candidate;
    const count = sets.filter((set) => set.candidate === key).length;
    const notes = [
      present ? say("sets_present") : "", isOff(candidate) ? say("sets_off_list") : pain && cleared ? say("sets_cleared") : "", counted(count),
    ];
    const row = make("li", "", classed("span", "letter", key), make("span", label, classed("span", "quiet", notes.filter(Boolean).join(", "))));
    if (isOff(candidate)) row.append(...wayBack(key, putBack));
    else if (!count) row.append(button(say("sets_take_off", key), () => takeOff(key)));
    return row;
  });
  const list = find(byId("setups"), ".setups-list");
  if (!list.querySelector('[aria-expanded="true"]') || candidates.every((one) => !isOff(one))) list.replaceChildren(...rows); // an open question stays
  const off = candidates.filter(isOff).map((one) => one.key);
  byId("off").hidden = !off.length;
  const text = off.length ? say("sets_off", off.join(", ")) : "";
  if (byId("off").textContent !== text) byId("off").textContent = text; // read out once
}

/** After pain the way back is a person's own, in two steps. @param {string} key @param {(key: string) => void} putBack */
function wayBack(key, putBack) {
  const sure = classed("div", "sure", "", make("p", say("sets_put_back_sure", key)), button(say("sets_put_back_yes", key), () => {
    sure.hidden = true;
    open.setAttribute("aria-expanded", "false");
    putBack(key);
  }));
  sure.hidden = true;
  const open = button(say("sets_put_back", key), () => {
    sure.hidden = !sure.hidden;
    open.setAttribute("aria-expanded", String(!sure.hidden));
  });
  open.setAttribute("aria-expanded", "false");
  return [open, sure];
}

/**
 * Changes that the core did not take: why, what they were, and the two ways on.
 * @param {Core.RefusedChange[]} refused @param {{ again: (place: number) => void, drop: (place: number) => void }} ways
 */
export function showRefused(refused, { again, drop }) {
  byId("refused").replaceChildren(...refused.map((one, place) => {
    const { said, error, change } = one;
    const notice = classed("div", "notice trouble", "", make("p", say("sets_refused", said, error.message, error.remedy)));
    notice.setAttribute("role", "alert");
    if (change && "set" in change) notice.append(button(say("sets_again"), () => again(place)));
    notice.append(button(say("sets_drop"), () => drop(place)));
    return notice;
  }));
}

// ---- the verdict

/** @param {Core.Standing} s @param {string | null} against */
function standing(s, against) {
  const meter = Object.assign(document.createElement("meter"), { min: 0, max: 1, value: s.chance_value ?? 0, textContent: s.chance });
  const row = make("div", "", make("dt", "", classed("span", "letter", s.key), " ", make("span", s.label)));
  row.dataset.key = s.key;
  row.append(s.off_list ? make("dd", say("sets_off_list")) : make("dd", "", make("strong", s.chance), " ", make("span", say("sets_chance")), meter));
  if (!s.base) row.append(make("dd", "", make("strong", s.gain), " ", make("span", say("sets_gain", against, s.gain_between, s.gain_mass))));
  return row;
}

/** @param {Core.Standing} s */
function cells(s) {
  const head = make("th", s.key);
  head.scope = "row";
  return make("tr", "", head, ...[s.sets, s.chance, s.gain, s.gain_between || "–"].map((text) => make("td", String(text))));
}

/** @param {string} name @param {string} text */
function fact(name, text) {
  const place = part(verdict, name);
  place.textContent = text;
  if (place.parentElement) place.parentElement.hidden = !text;
}

/** The core's whole answer. @param {Core.Verdict} answer */
export function showVerdict(answer) {
  verdict.dataset.age = evidence.dataset.age = "own";
  part(verdict, "headline").textContent = answer.headline;
  part(verdict, "why").textContent = answer.why;
  lay(byId("cautions-said"), [...answer.cautions, ...(answer.odd ? [answer.odd.text] : [])].map((text) => make("li", text)));
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
}
