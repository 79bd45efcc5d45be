// Wires the form, the Python worker, the picture, the link and what is kept together.

import { say } from "../words.mjs";
import { startCalculator } from "./calculator.mjs";
import { resetFigure } from "./figure.mjs";
import { TapeForm } from "./form.mjs";
import { dropEarlier, forget, isKeptOnDevice, keep, kept } from "./keep.mjs";
import { fragmentHere, hideNotice, inWords, notice } from "./received.mjs";
import { age, render, showAge, showDoubt, speak } from "./render.mjs";
import { handOver, hideLink, showLink, tell } from "./share.mjs";
import { forgetGuest, learnedPreference, listenToForget, tryInSets } from "./to-sets.mjs";
import { listenToTrade } from "./trade.mjs";

const TYPING_REST_MS = 120;
const KEEP_REST_MS = 500; // browsers limit how often the history may be written
const DOUBT_REST_MS = 1000; // the intervals take the calculator longer than a setup does

const NAMED_NUMBERS = 2;
const WISHES = ["choice", "preference"];

const byId = (id) => document.getElementById(id);
const nothing = () => ({ choice: null, preference: null, readCautions: false, received: false, shared: "" });

let rest;
let keeping;
let doubting;
let awake = false;
let arriving = ""; // the fragment of a link that waits to be opened
let last = null; // the last good result: {response, request, fragment, example}
let held = null; // a result that waits until the cautions are read
let shownFrom; // whose numbers made the result on the screen
let learned = null; // where on the trade-off the lifter's own sets say to be
let session = nothing(); // what belongs to this lifter beside the form

const form = new TapeForm(byId("tape"), () => {
  session.received = false;
  changed();
});
const client = startCalculator({
  kinds: ["setup", "open", "link", "doubt"],
  onResponse,
  onAwake: (now) => { awake = now; },
  beforeReload: keepTyped,
});

// ---- asking and keeping

function changed() {
  clearTimeout(rest);
  clearTimeout(keeping);
  clearTimeout(doubting);
  client.drop("doubt", "link");
  hideLink();
  session.shared = "";
  rest = setTimeout(ask, TYPING_REST_MS);
  keeping = setTimeout(keepTyped, KEEP_REST_MS);
}

/** So that a reload loses nothing: it rides along in this tab's own history, and on the device only if asked. */
function keepTyped() {
  const ours = fragmentHere() && fragmentHere() !== arriving && fragmentHere() !== session.shared;
  const state = { ...session, typed: form.save() };
  const kept = keep(state, { onDevice: byId("keep").checked, hash: ours ? "" : location.hash });
  if (!kept) tell(say("not_kept"));
}

function ask() {
  const own = !form.isEmpty() || age() !== "example";
  const wishes = Object.entries(session).filter(([key, value]) => WISHES.includes(key) && value !== null);
  const leaning = own && learned !== null ? { preference: learned } : {};
  client.ask("setup", { ...(own ? form.request() : form.exampleRequest()), ...leaning, ...Object.fromEntries(wishes) });
  if (own && !awake) showAge(age(), { tag: tagOf(), from: say("waiting") });
}

function tagOf() {
  if (age() !== "own") return age();
  if (session.choice) return "chosen";
  return session.received ? "received" : "own";
}

// ---- answers

function onResponse(kind, response, request) {
  if (kind === "setup") onSetup(response, request);
  else if (kind === "open") onOpened(response);
  else if (kind === "link" && last) last.fragment = response.fragment;
  else if (kind === "doubt") showDoubt(response.ok ? response : null);
}

/** The first numbers, and how many there are beside them: one line on a phone. */
function source(response) {
  const texts = form.fields.map((field) => response.reading[field.key]).filter(Boolean).map((text) => text.replaceAll(" ", "\u00a0"));
  const first = texts.slice(0, NAMED_NUMBERS).join(", ");
  return texts.length > NAMED_NUMBERS ? say("and_more", first, texts.length - NAMED_NUMBERS) : first;
}

function onSetup(response, request) {
  const example = form.isEmpty() && age() === "example";
  if (!example) form.showVerdicts(response);
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

function show(result) {
  last = result;
  const { response, request, example, stale } = result;
  const from = source(response);
  shownFrom = example ? say("from_example", from) : from;
  const tag = response.chosen ? "chosen" : example ? "example" : session.received ? "received" : "own";
  render(response, { age: example ? "example" : "own", tag, from: shownFrom });
  if (stale) showAge("old");
  showDoubt(null);
  if (!example) client.ask("link", { ...request, want: "link" });
  clearTimeout(doubting);
  doubting = setTimeout(() => { if (!response.chosen) client.ask("doubt", { ...request, want: "doubt" }); }, DOUBT_REST_MS);
}

// ---- cautions, once before the first own setup

function showCautionsFirst(wanted) {
  if (wanted && byId("first").hidden) speak(say("read_first", byId("first-read").textContent));
  byId("first").hidden = !wanted;
  document.documentElement.toggleAttribute("data-first", wanted);
}

byId("first-read").addEventListener("click", () => {
  session.readCautions = true;
  showCautionsFirst(false);
  show(held);
  held = null;
  keepTyped();
  byId("setup").focus({ preventScroll: true });
  scrollTo({ top: 0 });
});

/** In place, without a step in the history: no entry of it may hold what "next lifter" clears. */
function goTo(event) {
  const target = document.querySelector(event.currentTarget.getAttribute("href"));
  event.preventDefault();
  target.scrollIntoView();
  target.focus({ preventScroll: true });
}
for (const link of document.querySelectorAll('a[href^="#"]')) link.addEventListener("click", goTo);

// ---- trade-off, next number

listenToTrade((choice) => {
  session.choice = choice;
  changed();
});
byId("next-enter").addEventListener("click", () => form.enter(byId("next").dataset.next));

// ---- sets that decide

byId("try-in-sets").addEventListener("click", async () => {
  const trouble = age() === "own" ? await tryInSets(last.response.trial) : { message: say("nothing_to_try"), remedy: "" };
  if (!trouble) return location.assign("sets.html");
  byId("try-said").textContent = `${trouble.message} ${trouble.remedy}`;
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
  return age() === "own" ? last?.fragment : "";
}

byId("share").addEventListener("click", () => {
  const fragment = fragmentNow();
  if (!fragment) return tell(say("no_setup"));
  session.shared = fragment;
  history.replaceState(history.state, "", `#${fragment}`);
  keepTyped();
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
  keepTyped();
}

function onOpened(response) {
  if (!response.ok) {
    const [{ message, remedy }] = response.errors;
    arriving = "";
    keepTyped();
    notice(`${message} ${say("received_bad")} ${remedy}`, { onLeave: putLinkAway });
    return;
  }
  const { choice = null, preference = null, ...request } = response.request;
  const open = () => {
    form.take(request);
    session = { ...session, choice, preference, received: true };
    putLinkAway();
    changed();
  };
  if (form.isEmpty()) open();
  else notice(inWords(request, (key) => document.querySelector(`label[for="${key}"]`).textContent.split(",")[0]), { onShow: open, onLeave: putLinkAway });
}

// ---- the next lifter, and keeping on the device

function sureOfNext(open) {
  byId("next-sure").hidden = !open;
  byId("next-lifter").setAttribute("aria-expanded", String(open));
}

function nextLifter() {
  clearTimeout(rest);
  clearTimeout(keeping);
  clearTimeout(doubting);
  client.drop("setup", "open", "link", "doubt");
  form.clear();
  byId("keep").checked = false;
  session = nothing();
  arriving = shownFrom = "";
  last = held = learned = null;
  forget();
  forgetGuest();
  if (!awake) return location.reload(); // nothing could work the example out again
  showCautionsFirst(false);
  hideNotice();
  hideLink();
  resetFigure();
  showAge("example");
  speak(say("cleared"));
  sureOfNext(false);
  ask();
  scrollTo({ top: 0 });
  form.fields[0].input.focus();
}

byId("next-lifter").addEventListener("click", () => sureOfNext(byId("next-sure").hidden));
byId("next-no").addEventListener("click", () => sureOfNext(false));
byId("next-yes").addEventListener("click", nextLifter);
byId("keep").addEventListener("change", keepTyped);

// ---- start

byId("keep").checked = isKeptOnDevice();
const { typed, ...rides } = kept() ?? {};
if (typed) {
  form.restore(typed);
  session = { ...nothing(), ...rides };
}
addEventListener("hashchange", () => {
  lookForLink();
  keepTyped();
});
addEventListener("popstate", () => { // comes before hashchange: an older entry must not bring back what was cleared
  dropEarlier();
  setTimeout(keepTyped);
});
document.addEventListener("visibilitychange", keepTyped);
addEventListener("pageshow", ({ persisted }) => { if (persisted) learn(); }); // sets may have taught something meanwhile
lookForLink();
ask();
learn();
