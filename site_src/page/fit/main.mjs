// Wires the form, the Python worker, the picture, the link and what is kept together.

import { say } from "../../words.mjs";
import { startCalculator } from "../shared/calculator.mjs";
import { resetFigure } from "./figure.mjs";
import { byId, find, findAll } from "../shared/find.mjs";
import { TapeForm } from "./form.mjs";
import { listenToKeeping, showTrouble, showWhose } from "./keeping.mjs";
import { Person } from "./person.mjs";
import { still } from "../shared/press.mjs";
import { ofLift } from "../shared/record.mjs";
import { inWords, listed, sentences } from "../shared/said.mjs";
import { fragmentHere, hideNotice, holds, notice } from "./received.mjs";
import { age, render, showAge, showDoubt, showName, speak } from "./render.mjs";
import { handOver, hideLink, showLink, tell } from "./share.mjs";
import { forgetGuest, learnedPreference, listenToForget, tryInSets } from "./to-sets.mjs";
import { listenToTrade } from "./trade.mjs";
import { dropEarlier, forget, mark } from "./way-back.mjs";

const TYPING_REST_MS = 120;
const MARK_REST_MS = 500; // browsers limit how often the history may be written
const DOUBT_REST_MS = 1000; // the intervals take the calculator longer than a setup does

const NAMED_NUMBERS = 2;
/** @returns {import("./person.mjs").Session} */
const nothing = () => ({ choice: null, readCautions: false, received: false, shared: "" });
const exampleNumbers = find(document, '#age [data-part="from"]').textContent;

/** @typedef {{ response: Core.Fitted, request: Core.FitRequest, fragment: string, example: boolean, stale?: boolean }} Result */

/** @type {number | undefined} */
let rest;
/** @type {number | undefined} */
let marking;
/** @type {number | undefined} */
let doubting;
let awake = false;
let arriving = ""; // the fragment of a link that waits to be opened
/** @type {Result | null} */
let last = null; // the last good result
let asBuilt = true; // the intervals in the page are the example's, worked out when it was built
/** @type {Result | null} */
let held = null; // a result that waits until the cautions are read
/** @type {string | undefined} */
let whoseShown;
/** @type {string | undefined} */
let exampleFrom; // the example's numbers in words
/** @type {string | undefined} */
let shownFrom; // whose numbers made the result on the screen
/** @type {number | null} */
let learned = null; // where on the trade-off the lifter's own sets say to be
const session = nothing(); // what belongs to this lifter beside the form

const form = new TapeForm(byId("tape", HTMLFormElement), () => {
  session.received = false;
  changed();
});
const person = new Person(form, session, {
  onChange: () => still().then(whose),
  onTaken: taken,
  onTrouble: (trouble) => still().then(() => showTrouble(trouble)),
});
const client = startCalculator(/** @type {import("../shared/calculator.mjs").Settings<Core.FitQuestions>} */ ({
  kinds: ["setup", "open", "link", "doubt"],
  onResponse,
  onAwake: (now) => { awake = now; },
  beforeReload: () => person.save(),
}));

// ---- asking and keeping

function changed() {
  outdated();
  session.shared = "";
  rest = setTimeout(ask, TYPING_REST_MS);
  person.save();
}

/** What was worked out for other numbers goes. */
function outdated() {
  clearTimeout(rest);
  clearTimeout(marking);
  clearTimeout(doubting);
  client.drop("doubt", "link");
  if (age() === "example") client.drop("setup"); // the example's own answer would pass for the lifter's
  hideLink();
  marking = setTimeout(tidyAddress, MARK_REST_MS);
}

/** The form got numbers that nobody typed here just now. */
function taken() {
  outdated();
  ask();
}

/** A link stands in the address only while it waits to be opened, or holds just what is on the screen. */
function tidyAddress() {
  mark({ fragment: [arriving, session.shared].includes(fragmentHere()) });
}

/** Says whose numbers these are, if that has changed. */
function whose() {
  const { id, name, lifts, conflicts, tapes } = person.record ?? {};
  const now = JSON.stringify([id, name, lifts && ofLift({ lifts }).setups, conflicts, tapes?.at(-1)?.date]);
  if (now === whoseShown) return;
  whoseShown = now;
  showName(person.isGuest ? "" : (name ?? ""));
  if (age() === "example") showAge("example", { from: fromExample() });
  showWhose(person);
}

function fromExample() {
  return person.isGuest ? (exampleFrom ?? exampleNumbers) : say("no_numbers_yet", person.record?.name);
}

function ask() {
  const own = !form.isEmpty() || age() !== "example";
  const leaning = own && learned !== null ? { preference: learned } : {};
  const picked = session.choice ? { choice: session.choice } : {};
  client.ask("setup", { ...(own ? form.request() : form.exampleRequest()), ...leaning, ...picked });
  if (own && !awake) showAge(age(), { tag: tagOf(), from: say("waiting") });
}

function tagOf() {
  if (age() !== "own") return age();
  if (session.choice) return "chosen";
  return session.received ? "received" : "own";
}

// ---- answers

/** @param {Parameters<Core.OnResponse<Core.FitQuestions>>} answered */
function onResponse(...answered) {
  const [kind, response, request] = answered;
  if (kind === "setup") onSetup(response, request);
  else if (kind === "open") onOpened(response);
  else if (kind === "link" && last) last.fragment = response.ok ? response.fragment : "";
  else if (kind === "doubt") showDoubt(response.ok ? response : null);
}

/** The first numbers, and how many there are beside them: one line on a phone. @param {Core.Fitted} response */
function source(response) {
  const texts = form.fields.map((field) => response.reading[field.key]).filter(Boolean).map((text) => text.replaceAll(" ", "\u00a0"));
  const first = listed(texts.slice(0, NAMED_NUMBERS));
  return texts.length > NAMED_NUMBERS ? say("and_more", first, texts.length - NAMED_NUMBERS) : first;
}

/** @param {Core.Fitted | Core.Refused} response @param {Core.FitRequest} request */
function onSetup(response, request) {
  const example = form.isEmpty() && age() === "example";
  if (!example) form.showVerdicts(response, request);
  if (!response.ok) {
    if (last) last.fragment = "";
    if (!held) showAge(age() === "example" ? "example" : "old", { from: shownFrom });
    else held.stale = true;
    return;
  }
  const result = { response, request, fragment: "", example };
  if (!example && !session.readCautions) {
    held = result;
    showCautionsFirst(true);
  } else show(result);
}

/** @param {Result} result */
function show(result) {
  const { response, request, example, stale } = result;
  last = result;
  const from = source(response);
  if (example) exampleFrom = say("from_example", from);
  shownFrom = example ? fromExample() : from;
  const tag = response.chosen ? "chosen" : example ? "example" : session.received ? "received" : "own";
  render(response, { age: example ? "example" : "own", tag, from: shownFrom });
  if (stale) showAge("old");
  if (response.example && asBuilt) return;
  forgetDoubt();
  if (!example) client.ask("link", { ...request, want: "link" });
  clearTimeout(doubting);
  doubting = setTimeout(() => { if (!response.chosen) client.ask("doubt", { ...request, want: "doubt" }); }, DOUBT_REST_MS);
}

/** Intervals of other numbers go, also those of the example that the page brought. */
function forgetDoubt() {
  asBuilt = false;
  showDoubt(null);
}

// ---- cautions, once before the first own setup

/** @param {boolean} wanted */
function showCautionsFirst(wanted) {
  if (wanted && byId("first").hidden) speak(say("read_first", byId("first-read").textContent));
  byId("first").hidden = !wanted;
  document.documentElement.toggleAttribute("data-first", wanted);
}

byId("first-read").addEventListener("click", () => {
  session.readCautions = true;
  showCautionsFirst(false);
  if (held) show(held);
  held = null;
  person.save();
  byId("setup").focus({ preventScroll: true });
  scrollTo({ top: 0 });
});

/** In place, without a step in the history: no entry of it may hold what "next lifter" clears. */
for (const link of findAll(document, 'a[href^="#"]')) {
  link.addEventListener("click", (event) => {
    const target = find(document, link.getAttribute("href") ?? "");
    event.preventDefault();
    target.scrollIntoView();
    target.focus({ preventScroll: true });
  });
}

// ---- trade-off, next number

listenToTrade((choice) => {
  session.choice = choice;
  changed();
});
byId("next-enter").addEventListener("click", () => form.enter(byId("next").dataset.next ?? ""));

// ---- sets that decide

byId("try-in-sets").addEventListener("click", async () => {
  const trouble = age() === "own" && last ? await tryInSets(last.response.trial) : { message: say("nothing_to_try"), remedy: "" };
  if (!trouble) return location.assign("sets.html");
  byId("try-said").textContent = inWords(trouble);
});

async function learn() {
  learned = await learnedPreference();
  if (learned !== null) changed();
}
listenToForget(() => {
  learned = null;
  changed();
});

// ---- link, print

/** The link's fragment of what is on the screen; worked out beforehand, for a share sheet only opens right after a tap. */
function fragmentNow() {
  return (age() === "own" && last?.fragment) || "";
}

byId("share").addEventListener("click", () => {
  const fragment = fragmentNow();
  if (!fragment) return tell(say("no_setup"));
  session.shared = fragment;
  history.replaceState(history.state, "", `#${fragment}`);
  tidyAddress();
  person.save();
  handOver(fragment);
});
byId("print").addEventListener("click", async () => {
  const fragment = fragmentNow();
  if (fragment) await showLink(fragment);
  print();
});

// ---- a link that arrives

function lookForLink() {
  const fragment = fragmentHere();
  if (!fragment || fragment === session.shared) return;
  arriving = fragment;
  notice(say("received_wait"));
  client.ask("open", { want: "open", fragment });
}

function putLinkAway() {
  arriving = "";
  hideNotice();
  tidyAddress();
}

/** @param {Core.Opened | Core.Refused} response */
function onOpened(response) {
  if (!response.ok) {
    const [{ message, remedy }] = response.errors;
    arriving = "";
    tidyAddress();
    notice(sentences(message, say("received_bad"), remedy), { onLeave: putLinkAway });
    return;
  }
  const { choice = null, preference = null, ...request } = response.request;
  const open = async () => {
    if (!person.isGuest) { // a link never changes one who is kept
      await person.save();
      clearScreen();
      await person.nobody();
    }
    form.take(request);
    Object.assign(session, { choice, received: true });
    putLinkAway();
    changed();
    if (preference !== null) {
      await person.lean(preference, say("from_the_link"));
      learn();
    }
  };
  if (form.isEmpty()) open();
  else notice(holds(request), { onShow: open, onLeave: putLinkAway });
}

// ---- the next lifter, and keeping on the device

function whatNextClears() {
  if (person.isGuest) return say("next_sure");
  const name = person.record?.name;
  return person.isRefused ? say("next_refused", name) : say("next_kept", name);
}

/** @param {boolean} open */
function sureOfNext(open) {
  byId("next-said").textContent = whatNextClears();
  byId("next-sure").hidden = !open;
  byId("next-lifter").setAttribute("aria-expanded", String(open));
}

/** Clears what belongs to this lifter from the screen; who is kept stays so. */
function clearScreen() {
  clearTimeout(rest);
  clearTimeout(doubting);
  client.drop("setup", "open", "link", "doubt");
  form.clear();
  Object.assign(session, nothing());
  shownFrom = undefined;
  last = held = learned = null;
  forgetDoubt();
  forgetGuest();
  showAge("example", { from: exampleFrom ?? exampleNumbers });
}

async function nextLifter() {
  if (!person.isGuest) await person.save();
  clearScreen();
  const over = person.nobody();
  arriving = "";
  forget();
  if (!awake) { // nothing could work the example out again
    await over;
    return location.reload();
  }
  showCautionsFirst(false);
  hideNotice();
  hideLink();
  resetFigure();
  speak(say("cleared"));
  sureOfNext(false);
  ask();
  scrollTo({ top: 0 });
  form.fields[0].input.focus();
}

byId("next-lifter").addEventListener("click", () => sureOfNext(Boolean(byId("next-sure").hidden)));
byId("next-no").addEventListener("click", () => sureOfNext(false));
byId("next-yes").addEventListener("click", nextLifter);

// ---- start

listenToKeeping(person, {
  setup: () => (age() === "own" ? last : null),
  retry: () => person.save(),
});
addEventListener("hashchange", () => {
  lookForLink();
  tidyAddress();
});
addEventListener("popstate", () => { // comes before hashchange: an older entry must not bring back what was cleared
  dropEarlier();
  setTimeout(tidyAddress);
});
document.addEventListener("visibilitychange", () => person.save());
addEventListener("pageshow", async ({ persisted }) => {
  if (!persisted) return;
  if (await person.isOver()) location.reload(); // another screen of this tab chose another lifter
  else learn(); // sets may have taught something meanwhile
});
dropEarlier();
ask();
person.load().then(() => {
  lookForLink();
  learn();
});
