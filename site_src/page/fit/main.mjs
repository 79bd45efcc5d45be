// Wires the form, the Python worker, the picture, the link and what is kept together.
// Over 300 lines: it is where they meet, and they know nothing of each other.

import { say } from "../../words.mjs";
import { showAlong } from "../shared/along.mjs";
import { foldCautions } from "../shared/cautions.mjs";
import { startCalculator } from "../shared/calculator.mjs";
import { listenToCard } from "./card.mjs";
import { listenToFeel, showFeel } from "./feel.mjs";
import { resetFigure } from "./figure.mjs";
import { byId, find, findAll } from "../shared/find.mjs";
import { TapeForm } from "./form.mjs";
import { answerStep, keepSteps, listenToKeeping, showTrouble, showWhose } from "./keeping.mjs";
import { Links } from "./link.mjs";
import { useLift } from "../shared/lift.mjs";
import { Person } from "./person.mjs";
import { still } from "../shared/press.mjs";
import { ofLift } from "../shared/record.mjs";
import * as store from "../shared/store.mjs";
import { compare, fold, hideNotice, requestOfMine, showReceived } from "./received.mjs";
import { age, showAge, showDoubt, showName, speak } from "./render.mjs";
import { Results } from "./results.mjs";
import { hideLink } from "./share.mjs";
import { partsOf } from "./steps.mjs";
import { forgetGuest, learnedPreference, listenToSets } from "./to-sets.mjs";
import { forgetTurn } from "../shared/turn.mjs";
import { listenToTrade } from "./trade.mjs";
import { listenToWay, setupsOf } from "./way.mjs";
import { dropEarlier, forget } from "./way-back.mjs";

const TYPING_REST_MS = 120;
const MARK_REST_MS = 500; // browsers limit how often the history may be written

/** @returns {import("./person.mjs").Session} what belongs to this lifter beside the form */
const nothing = () => ({ choice: null, learned: null, readCautions: false, received: false, shared: "" });
const session = nothing();

/** @type {{ awake: boolean, toAnswer: boolean, rest?: number, marking?: number, whose?: string, untouched?: boolean }} timers, whose numbers were said, whether a link's are as they came */
const screen = { awake: false, toAnswer: false };

const form = new TapeForm(byId("tape", HTMLFormElement), {
  changed: () => {
    session.received = fromLink(); // whoever's they are: not one's own
    screen.untouched = false;
    changed();
  },
  done: () => { // the answer is gone to once it is there
    screen.toAnswer = true;
    outdated();
    ask();
  },
});
const person = new Person(form, session, {
  onChange: () => still().then(whose),
  onTaken: taken,
  onTrouble: (trouble) => still().then(() => showTrouble(trouble)),
});
const client = startCalculator(/** @type {import("../shared/calculator.mjs").Settings<Core.FitQuestions>} */ ({
  kinds: ["setup", "open", "link", "mine", "feel", "doubt"],
  onResponse,
  onAwake: (now) => { screen.awake = now; },
  beforeReload: () => person.save(),
  turn: {
    settle: async () => {
      await person.save();
      return !person.isRefused;
    },
    said: () => (person.isRefused ? say("next_refused", person.record?.name) : person.isGuest ? say("next_guest") : say("next_kept", person.record?.name)),
    clear: () => nextLifter(),
  },
}));
const results = new Results(form, session, {
  ask: (kind, request) => client.ask(kind, request),
  whose: () => person,
  onCautionsRead: () => {
    foldCautions(true);
    person.save();
  },
});
const links = new Links(session, {
  ask: (fragment) => client.ask("open", { want: "open", fragment }),
  fragment: () => results.fragment,
  mayOpen: () => !fromLink() || Boolean(screen.untouched),
  onPutAway: () => { received(); },
  open: openLink,
  isKept: async (id) => Boolean(id) && store.read(id).then(() => true, () => false),
  openKept,
  onShared: () => person.save(),
});

// ---- asking and keeping

function changed() {
  outdated();
  session.shared = "";
  screen.rest = setTimeout(ask, TYPING_REST_MS);
  person.save();
}

/** What was worked out for other numbers goes. */
function outdated() {
  clearTimeout(screen.rest);
  clearTimeout(screen.marking);
  results.wait();
  client.drop("doubt", "feel", "link");
  showFeel(null);
  if (age() === "example") client.drop("setup"); // the example's own answer would pass for the lifter's
  hideLink();
  screen.marking = setTimeout(() => links.tidy(), MARK_REST_MS);
}

/** The form got numbers that nobody typed here just now. */
function taken() {
  outdated();
  ask();
}

/** Says whose numbers these are, if that has changed. */
function whose() {
  const { id, name, lifts, conflicts, tapes } = person.record ?? {};
  const now = JSON.stringify([id, name, lifts && ofLift({ lifts }).setups, conflicts, tapes?.at(-1)?.date]);
  if (now === screen.whose) return;
  screen.whose = now;
  foldCautions(session.readCautions);
  showName(person.isGuest ? "" : (name ?? ""));
  if (age() === "example") showAge("example", { from: screen.awake || form.isEmpty() ? results.fromExample : say("waiting") });
  showWhose(person);
  showAlong();
  received();
}

/** Whether one's own numbers gave way to what is on the screen. */
function fromLink() {
  return store.gaveWay()?.link === false && person.isGuest;
}

/** Says what came with a link, and the way back from it. */
async function received() {
  const who = store.gaveWay();
  const aside = who && (who.guest ?? (await store.read(who.id).catch(() => null)));
  const came = fromLink() || session.received;
  showReceived({ came, aside, link: Boolean(who?.link), form }, { onSwap: swap, onLeave: () => {
    store.giveWay(null);
    received();
  } });
  return aside;
}

/** One's own setup, to stand beside the received one. */
async function askMine() {
  compare({ mine: [] });
  const aside = await received();
  const request = fromLink() && aside && requestOfMine(aside);
  if (request) client.ask("mine", request);
}

/** Those who gave way come back, and those on the screen give way. */
async function swap() {
  const who = store.gaveWay();
  if (!who) return;
  await person.save();
  const link = !who.link;
  store.giveWay(person.hasSomething && (person.isGuest || !link) ? person.leaving(link) : null);
  clearScreen();
  await person.comeBack(who);
  await askMine();
  byId("setup").focus({ preventScroll: true });
  scrollTo({ top: 0 });
  learn();
}

function ask() {
  const own = !form.isEmpty() || age() !== "example";
  const leaning = own && session.learned !== null ? { preference: session.learned } : {};
  const picked = session.choice ? { choice: session.choice } : {};
  client.ask("setup", { ...(own ? form.request() : form.exampleRequest()), ...leaning, ...picked });
  if (own && !screen.awake) showAge(age(), { tag: tagOf(), from: say("waiting") });
}

function tagOf() {
  if (age() !== "own") return age();
  if (session.choice) return "chosen";
  return session.received ? "received" : "own";
}

/** @param {Parameters<Core.OnResponse<Core.FitQuestions>>} answered */
function onResponse(...answered) {
  const [kind, response, request] = answered;
  if (kind === "setup") {
    results.take(response, request);
    if (response.ok) compare({ theirs: response.headline });
    else fold(false); // what is wrong stands in the form
    received();
    if (screen.toAnswer) goToAnswer();
  } else if (kind === "mine") {
    compare({ mine: response.ok ? response.headline : [] });
    received();
  } else if (kind === "open") links.take(response);
  else if (kind === "link" && results.last) results.last.fragment = response.ok ? response.fragment : "";
  else if (kind === "doubt") showDoubt(response.ok ? response : null);
  else if (kind === "feel") showFeel(response.ok ? response.feel : null, results.last?.response.setup, request.unit);
}

/** To the answer that Enter asked for, or to the number that keeps it from coming. */
function goToAnswer() {
  screen.toAnswer = false;
  if (form.wrong) return form.wrong.input.focus();
  const place = byId(byId("first").hidden ? "setup" : "first");
  place.focus({ preventScroll: true });
  (place.querySelector(".plate") ?? find(place, "h2")).scrollIntoView({ block: "nearest" });
}

/** @param {Core.FitRequest} request @param {{ choice: Kept.Choice | null, preference: number | null }} more */
async function openLink(request, { choice, preference }) {
  await person.save();
  const { readCautions, received: another } = session; // who reads it is the same
  if (!another && !fromLink() && person.hasSomething) store.giveWay(person.leaving(false));
  clearScreen();
  await person.giveWayToLink();
  form.take(request);
  form.more.open = false;
  Object.assign(session, { choice, received: true, readCautions });
  screen.untouched = true;
  links.putAway();
  changed();
  askMine();
  scrollTo({ top: 0 });
  if (preference === null) return;
  await person.lean(preference, say("from_the_link"));
  learn();
}

/** The lifter whose code was scanned; a guest's numbers wait. @param {string} id */
async function openKept(id) {
  await person.save();
  if (person.record?.id !== id) {
    store.giveWay(person.isGuest && person.hasSomething && !fromLink() && !session.received ? person.leaving(false) : null);
    clearScreen();
    await store.setCurrent(id);
    await person.comeBack({ id, guest: null, screen: null, link: false });
    learn();
  }
  links.putAway();
  scrollTo({ top: 0 });
}

// ---- what a person does

for (const kind of ["input", "focusin", "pointerdown"]) addEventListener(kind, () => { screen.toAnswer = false; }); // did something else meanwhile

/** In place, without a step in the history: no entry of it may hold what "next lifter" clears. */
for (const link of findAll(document, 'a[href^="#"]')) {
  link.addEventListener("click", (event) => {
    const target = find(document, link.getAttribute("href") ?? "");
    event.preventDefault();
    target.scrollIntoView();
    target.focus({ preventScroll: true });
  });
}
listenToTrade(choose);
listenToFeel((parts) => { // at once: the finger is up, and what is on the screen is not Python's yet
  session.choice = parts;
  taken();
  person.save();
});
listenToCard();
/** @param {Kept.Choice | null} choice */
function choose(choice) {
  session.choice = choice;
  changed();
}
listenToWay({
  onKeep: (steps) => keepSteps(setupsOf(steps)),
  onAnswer: (answer) => answerStep(answer, choose),
  onShow: (step) => choose(partsOf(step)),
});
byId("next-enter").addEventListener("click", () => form.enter(byId("next").dataset.next ?? ""));
const own = () => (age() === "own" ? results.last : null);
listenToSets({
  onTrial: () => own()?.response.trial ?? null,
  onForgotten: () => {
    session.learned = null;
    changed();
  },
});
listenToKeeping(person, { setup: own, retry: () => person.save() });

async function learn() {
  session.learned = await learnedPreference();
  if (session.learned !== null) changed();
}

// ---- the next lifter

/** Clears what belongs to this lifter from the screen; who is kept stays so. */
function clearScreen() {
  clearTimeout(screen.rest);
  client.drop("setup", "open", "link", "mine", "feel", "doubt");
  showFeel(null);
  form.clear();
  Object.assign(session, nothing());
  results.clear();
  forgetGuest();
}

async function nextLifter() {
  if (!person.isGuest) await person.save();
  clearScreen();
  forgetTurn();
  const over = person.nobody();
  links.forget();
  forget();
  if (!screen.awake) { // nothing could work the example out again
    await over;
    return location.reload();
  }
  results.showCautionsFirst(false);
  hideNotice();
  hideLink();
  resetFigure();
  speak(say("cleared"));
  ask();
  scrollTo({ top: 0 });
  form.fields[0].input.focus();
}

// ---- start

addEventListener("popstate", () => { // comes before hashchange: an older entry must not bring back what was cleared
  dropEarlier();
  setTimeout(() => links.tidy());
});
document.addEventListener("visibilitychange", () => person.save());
addEventListener("pageshow", async ({ persisted }) => {
  if (!persisted) return;
  if (await person.isOver()) location.reload(); // another screen of this tab chose another lifter
  else learn(); // sets may have taught something meanwhile
});
useLift();
dropEarlier();
ask();
person.load().then(() => {
  links.look();
  askMine();
  learn();
});
