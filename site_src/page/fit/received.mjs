// A setup that came with a link, shown first and its form folded: what it is, the way back to one's own numbers, what differs from them.

import { say } from "../../words.mjs";
import { row, showText } from "../shared/element.mjs";
import { byId, find, findAll } from "../shared/find.mjs";
import { nameOf } from "../shared/names.mjs";
import { numberOf } from "../shared/parts.mjs";
import { ofLift, requestOf, tapeOf } from "../shared/record.mjs";
import { listed, sentences } from "../shared/said.mjs";
import { Choice } from "./field.mjs";

const box = byId("received");
const message = find(box, '[data-part="message"]');
const show = find(box, "#received-show");
const leave = find(box, "#received-leave");
const back = find(box, "#received-back");
const differs = find(box, "#received-differs");
const unfold = byId("unfold");

/** @type {{ noticed: boolean, theirs: Core.NamedNumber[], mine: Core.NamedNumber[] }} a message stands first; the setups compared */
const now = { noticed: false, theirs: [], mine: [] };

export function fragmentHere() {
  return location.hash.startsWith("#v=") || location.hash.includes("&k=") ? location.hash.slice(1) : "";
}

/** @param {string} text @param {{ onShow?: (() => void) | null, onLeave?: (() => void) | null, onBack?: (() => void) | null }} ways */
function put(text, { onShow = null, onLeave = null, onBack = null } = {}) {
  showText(message, text, box);
  for (const [button, work] of /** @type {const} */ ([[show, onShow], [leave, onLeave], [back, onBack]])) {
    button.hidden = !work;
    button.onclick = work;
  }
}

/** Says `text` until it is put away; with `onShow` it can be opened, with `onLeave` put away. @param {string} text @param {{ onShow?: (() => void) | null, onLeave?: (() => void) | null }} ways */
export function notice(text, ways = {}) {
  now.noticed = true;
  put(text, ways);
}

export function hideNotice() {
  now.noticed = false;
  put("");
}

/** What a received request holds, in a line: its numbers, and the choices that are not the usual ones. @param {Core.FitRequest} request */
export function holds({ fields, unit, ...more }) {
  const numbers = Object.entries(fields).map(([key, text]) => say("named", nameOf(key), numberOf(key, text, unit)));
  const chosen = findAll(document, "[data-choice-of]").map((one) => new Choice(one)).filter((one) => one.has(more[one.key]));
  const marks = chosen.map((one) => say("labelled", nameOf(one.key), nameOf(`${one.key}/${more[one.key]}`)));
  return say("received_holds", listed([...numbers, ...marks]));
}

/** One's own request, for its setup to stand beside the received one. @param {Kept.Lifter} mine @returns {Core.FitRequest | null} */
export function requestOfMine(mine) {
  const tape = tapeOf(mine);
  const { choice, preference } = ofLift(mine);
  return tape && { ...requestOf(tape), ...(choice ? { choice } : {}), ...(preference === null ? {} : { preference }) };
}

const inWords = (/** @type {Core.NamedNumber} */ { value, unit }) => (unit === "°" ? value + unit : `${value} ${unit}`);

/** Name, mine and theirs, of all that differs: the setups' numbers, the tapes', the choices. @param {Kept.Tape | null} mine @param {import("./form.mjs").TapeForm} form */
function differences(mine, form) {
  const none = say("received_none");
  const rows = now.theirs.map((one) => [one.label, now.mine.filter(({ key }) => key === one.key).map(inWords).join("") || none, inWords(one)]);
  for (const { key, typed } of form.fields) {
    const [text, unit] = [mine?.fields[key]?.trim() ?? "", mine?.unit ?? typed.unit];
    rows.push([nameOf(key), text ? numberOf(key, text, unit) : none, typed.text.trim() ? numberOf(key, typed.text, typed.unit) : none]);
  }
  for (const { key, value, preset } of form.choices) {
    rows.push([nameOf(key), nameOf(`${key}/${mine?.choices[key] ?? preset}`), nameOf(`${key}/${value}`)]);
  }
  return rows.filter(([, one, other]) => one !== other);
}

/** @param {Kept.Lifter} mine @param {import("./form.mjs").TapeForm} form */
function showDifferences(mine, form) {
  const rows = differences(tapeOf(mine), form);
  find(differs, '[data-part="mine"]').textContent = mine.name || say("received_mine");
  find(differs, "tbody").replaceChildren(...rows.map(([name, ...cells]) => row(name, ...cells)));
  find(differs, "table").hidden = !rows.length;
  find(differs, "p").hidden = Boolean(rows.length);
}

/**
 * What stands in the box where nothing else has to be said.
 * @param {{ came: boolean, aside: Kept.Lifter | null, link: boolean, form: import("./form.mjs").TapeForm }} of came: what is on the screen came by a link; aside: who
 *   gave way; link: they came by it @param {{ onSwap: () => void, onLeave: () => void }} ways
 */
export function showReceived({ came, aside, link, form }, { onSwap, onLeave }) {
  document.documentElement.toggleAttribute("data-received", came);
  const mine = link ? null : aside;
  differs.hidden = !(came && mine);
  if (came && mine) showDifferences(mine, form);
  if (!came) fold(true);
  if (now.noticed) return;
  const safe = mine && (mine.name ? say("received_aside", mine.name) : say("received_aside_mine"));
  if (came) put(sentences(say("received_here"), safe), { onBack: mine && onSwap });
  else if (link) put(say("received_at_hand"), { onShow: onSwap, onLeave });
  else put(safe ?? "", { onBack: mine && onSwap, onLeave: mine && onLeave });
}

/** The setups to be compared: that on the screen, or one's own. @param {{ theirs?: Core.NamedNumber[], mine?: Core.NamedNumber[] }} numbers */
export function compare(numbers) {
  Object.assign(now, numbers);
}

/** Whether the form of a received setup is folded. @param {boolean} folded */
export function fold(folded) {
  unfold.setAttribute("aria-expanded", String(!folded));
}

unfold.addEventListener("click", () => fold(unfold.getAttribute("aria-expanded") === "true"));
