// The screen of the film check: open, mark, follow, read. The picture never leaves the device and is never kept.

import { say } from "../../words.mjs";
import { startCalculator } from "../shared/calculator.mjs";
import { byId, find, findAll } from "../shared/find.mjs";
import { TWICE_MS } from "../shared/press.mjs";
import { GUEST, ofLift, requestOf as tapeRequestOf, tapeOf } from "../shared/record.mjs";
import * as store from "../shared/store.mjs";
import { About } from "./about.mjs";
import { Attach } from "./attach.mjs";
import { FOLLOWED_S, open, troubleOf } from "./clip.mjs";
import { keepInTab, keptInTab } from "./keep.mjs";
import { KINDS, Marks, grownBy, outlineAt, requestOf, ring, stretches } from "./marks.mjs";
import { csvOf, save } from "./save.mjs";
import { clearAnswer, showAnswer, showErrors } from "./show.mjs";
import { Stage } from "./stage.mjs";

const MEASURE_REST_MS = 300;
const KEEP_REST_MS = 500;
const FAR = 10; // how many times as far with Shift, or the key for it
const FIRST_RADIUS = 1 / 9; // of the picture's shorter side: the ring before it is sized
const RIM_STEP = 1.01;
const MARK_SD = { screen: 0.5, least: 0.7 }; // px of the screen as it was zoomed, and of the picture: what a mark under the loupe is worth
const LOST_SHOWN = 12;
const EVEN = 1.5; // the longest step between pictures may be this times the shortest
const RATES = { low: 24, high: 90 };

const video = byId("video", HTMLVideoElement);
const slider = byId("at", HTMLInputElement);
const kinds = byId("kinds");
const followed = byId("followed", HTMLProgressElement);
const stage = new Stage({ onTap, onMove, onSize, onKey });
const about = new About(byId("about"), changed);

/** @typedef {import("./clip.mjs").Clip | import("./clip.mjs").Photo} Open */

/** @type {Open | null} */
let clip = null;
let marks = new Marks();
/** @type {Film.Track} */
let track = new Map(); // by index: what the tracker said
let at = 0; // the picture that is shown
/** @type {Film.Kind} */
let kind = "rim";
let far = false;
/** @type {ImageBitmap | null} */
let preview = null;
/** @type {(() => void) | null} */
let stop = null; // ends what is being followed
let followedAt = 0;
let opening = 0;
let openedAs = ""; // what is open, in words
/** @type {Core.Measured | null} */
let answer = null;
/** @type {Kept.Lifter | null} */
let record = null;
let resting = 0;
let keeping = 0;
let awake = false;

const client = startCalculator(/** @type {import("../shared/calculator.mjs").Settings<Core.FilmQuestions>} */ ({
  kinds: ["measure", "sets"],
  onResponse: (...answered) => {
    const [what, response] = answered;
    if (what === "measure") onMeasured(response);
    else attach.onSets(response);
  },
  onAwake: (now) => {
    awake = now;
    if (now && answer === null) measure();
  },
  beforeReload: keep,
}));
const attach = new Attach(client);

const said = (/** @type {string} */ text) => { byId("said").textContent = text; };
const seconds = (/** @type {number} */ time) => time.toFixed(2);

// ---- opening

/** @param {unknown} error @returns {error is Film.Trouble} */
const isTrouble = (error) => typeof error === "object" && error !== null && "code" in error && "remedy" in error;

/** @param {File | undefined} file */
async function openFile(file) {
  if (!file) return;
  const turn = ++opening;
  leave();
  tellTrouble(null);
  said(say("film_opening", file.name));
  /** @type {Open} */
  let opened;
  try {
    opened = await open(file, video);
  } catch (error) {
    if (turn !== opening) return;
    tellTrouble(isTrouble(error) ? error : troubleOf("broken", file.name, error instanceof Error ? error.message : ""));
    said("");
    if (clip) { // the one that was open stays so
      await clip.takeVideo();
      lead(clip);
      await goTo(at);
    }
    return;
  }
  if (turn !== opening) return opened.close();
  clip?.close();
  clip = opened;
  const before = keptInTab();
  const known = before && same(before.file, file);
  marks = new Marks(known ? before.marks : {});
  track = new Map();
  answer = null;
  at = 0;
  showLost(clip);
  byId("bench").hidden = false;
  byId("how", HTMLDetailsElement).open = false;
  document.documentElement.dataset.film = clip.kind;
  byId("steps").hidden = byId("rail").hidden = clip.kind === "photo";
  slider.max = String(clip.times.length - 1);
  byId("follow").textContent = byId("follow").dataset[clip.kind] ?? "";
  stage.open(clip.source, clip.picture);
  choose(marks.places("rim").length ? "shoulder" : "rim");
  clearAnswer();
  sayFollow("");
  await goTo(known ? (before.at ?? 0) : 0);
  openedAs = say(known ? "film_reopened" : "film_opened", file.name, facts(clip));
  lead(clip);
  byId("said").scrollIntoView({ block: "start" }); // what comes next, and the picture below it
}

/** What is open, and what comes next. @param {Open} shown */
function lead(shown) {
  const [missing] = marks.missing();
  const next = missing ? `film_lead_${missing}` : shown.kind === "clip" && !track.size ? "film_lead_follow_on" : "";
  const text = next ? `${openedAs} ${say(next)}` : openedAs;
  if (byId("said").textContent !== text) said(text);
}

const printOf = (/** @type {File} */ file) => ({ name: file.name, size: file.size, changed: file.lastModified });
/** @param {import("./keep.mjs").Print | undefined} print @param {File} file */
const same = (print, file) => print && print.name === file.name && print.size === file.size && print.changed === file.lastModified;

/** What kind of clip it is, in words. @param {Open} shown */
function facts(shown) {
  const { width, height } = shown.picture;
  if (shown.kind === "photo") return say("film_size_photo", width, height);
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
  if (!shown.info.decodes) parts.push(say("film_by_seeking"));
  return parts.join("; ");
}

/** @param {Film.Trouble | null} trouble */
function tellTrouble(trouble) {
  const box = byId("film-trouble");
  box.hidden = !trouble;
  if (!trouble) return;
  find(box, '[data-part="message"]').textContent = trouble.message;
  find(box, '[data-part="remedy"]').textContent = trouble.remedy;
  box.scrollIntoView({ block: "nearest" });
}

for (const id of ["file", "camera"]) {
  const input = byId(id, HTMLInputElement);
  input.addEventListener("change", () => {
    openFile(input.files?.[0]);
    input.value = ""; // so that the same file can be opened again
  });
}

// ---- the picture that is shown

/** @param {number} index */
async function goTo(index) {
  if (!clip) return;
  at = Math.min(clip.times.length - 1, Math.max(0, index));
  preview = null;
  tellWhere(clip);
  await clip.show(at);
  show();
}

/** @param {boolean} off @param {string[]} ids */
function disable(off, ...ids) {
  for (const id of ids) byId(id, HTMLButtonElement).disabled = off;
}

/** @param {Open} shown */
function tellWhere({ times: all, kind: what }) {
  disable(at === 0, "back", "back-ten");
  disable(at === all.length - 1, "on", "on-ten");
  slider.value = String(at);
  slider.setAttribute("aria-valuetext", `${say("film_time", seconds(all[at]))}, ${say("film_picture_of", at + 1, all.length)}`);
  byId("time").textContent = what === "photo" ? say("film_photo") : say("film_time", all[at].toFixed(3));
  byId("frame-said").textContent = what === "photo" ? "" : say("film_picture_of", at + 1, all.length);
}

/** Draws everything again: picture, marks, states. */
function show() {
  if (!clip) return;
  const held = outlineAt(track, marks, at);
  const state = track.get(at);
  stage.show({
    preview,
    held: state && !state.lost ? held : null,
    path: pathOf(),
    marks: KINDS.flatMap((one) => {
      const found = marks.at(one, at);
      if (!found || (one === "rim" && !found.own && state)) return [];
      return [{ ...found.mark, kind: one, own: found.own || one.startsWith("edge"), chosen: one === kind, label: say(`film_${one}`) }];
    }),
  });
  showStates(clip);
}

function pathOf() {
  return stretches(track).filter(({ lost }) => !lost).map(({ from, to }) => {
    /** @type {[number, number][]} */
    const points = [];
    for (let index = from; index <= to; index++) {
      const seen = track.get(index);
      if (seen && !seen.lost) points.push([seen.x, seen.y]);
    }
    return points;
  });
}

/** @param {Open} shown */
function showStates(shown) {
  for (const radio of findAll(kinds, "input", HTMLInputElement)) {
    const one = kindOf(radio.value);
    const isSet = marks.places(one).length > 0;
    const words = isSet ? "film_set" : one === "rim" || one === "shoulder" ? "film_needed" : one === "bar_end" ? "film_helps" : "film_optional";
    const label = find(kinds, `input[value="${one}"] + *`);
    find(label, '[data-part="state"]').textContent = say(words);
    label.classList.toggle("set", isSet);
  }
  const found = marks.at(kind, at);
  const name = say(`film_${kind}`);
  const time = found && shown.kind === "clip" ? seconds(shown.times[found.index]) : "";
  const status = !found ? say("film_unset") : !time ? say("film_set") : found.own ? say("film_set_at", time) : say("film_ghost", time);
  const state = track.get(at);
  const held = !state ? "" : state.lost ? say("film_mend") : state.how === "face" ? say("film_face") : say("film_held", Math.round(100 * state.quality));
  byId("mark-said").textContent = [say("film_status", name, status), held].filter(Boolean).join(" ");
  byId("mark-hint").textContent = say(`film_${kind.startsWith("edge") ? "edge" : kind}_hint`);
  disable(kind !== "rim", "smaller", "larger");
  disable(!found, "remove");
  disable(stage.zoom <= 1, "zoom-out");
}

/** @param {string} value of a radio button of the kinds */
const kindOf = (value) => KINDS.find((one) => one === value) ?? "rim";

/** @param {number} by */
function step(by) {
  pause();
  stage.closeLoupe();
  goTo(at + by);
}
for (const [id, by] of Object.entries({ "back-ten": -10, back: -1, on: 1, "on-ten": 10 })) byId(id).addEventListener("click", () => step(by));
slider.addEventListener("input", () => step(Number(slider.value) - at));
byId("zoom-in").addEventListener("click", () => zoom(1.6));
byId("zoom-out").addEventListener("click", () => zoom(1 / 1.6));

/** @param {number} factor */
function zoom(factor) {
  const found = marks.at(kind, at);
  stage.zoomBy(factor, found && factor > 1 ? { x: found.mark.x, y: found.mark.y } : null);
  if (clip) showStates(clip);
}

// ---- playing

function pause() {
  if (!video.paused) video.pause();
}

byId("play").addEventListener("click", () => {
  if (!video.paused) return video.pause();
  if (clip?.kind !== "clip") return;
  if (at >= clip.times.length - 1) video.currentTime = clip.middle(0);
  video.play().catch(() => {});
});
video.addEventListener("play", () => {
  byId("play").setAttribute("aria-pressed", "true");
  stage.closeLoupe();
  const tick = () => {
    if (video.paused || clip?.kind !== "clip" || stop) return;
    at = clip.indexAt(video.currentTime);
    tellWhere(clip);
    show();
    requestAnimationFrame(tick);
  };
  tick();
});
video.addEventListener("pause", () => {
  byId("play").setAttribute("aria-pressed", "false");
  if (clip?.kind === "clip" && !stop) goTo(clip.indexAt(video.currentTime));
});

// ---- marking

/** @param {Film.Kind} which */
function choose(which) {
  kind = which;
  find(kinds, `input[value="${which}"]`, HTMLInputElement).checked = true;
  show();
}
kinds.addEventListener("change", ({ target }) => {
  stage.closeLoupe();
  if (target instanceof HTMLInputElement) choose(kindOf(target.value));
});

/** The rim as it is now in this picture; a new one is put at `point`. @param {Film.Size} picture @param {Film.Point} point @returns {Film.Ring} */
function rimNow({ width, height }, point = stage.middle) {
  const found = outlineAt(track, marks, at) ?? marks.at("rim", at)?.mark;
  return found ? ringOf(found) : ring(point.x, point.y, FIRST_RADIUS * Math.min(width, height));
}

/** @param {Film.Mark | Film.Ring} mark of the rim @returns {Film.Ring} */
const ringOf = ({ x, y, a = 0, b = 0, tilt = 0 }) => ({ x, y, a, b, tilt });

/** The chosen mark as it is now, in this picture; a new one is put at `point`. @param {Film.Size} picture @returns {Film.Point & Partial<Film.Axes>} */
function current(picture, point = stage.middle) {
  if (kind === "rim") return rimNow(picture, point);
  const { x, y } = marks.at(kind, at)?.mark ?? point;
  return { x, y };
}

/** @param {Film.Point & Partial<Film.Axes>} mark */
function put(mark) {
  if (!clip) return;
  const { width, height } = clip.picture;
  const x = Math.min(width, Math.max(0, mark.x));
  const y = Math.min(height, Math.max(0, mark.y));
  if (kind.startsWith("edge")) marks.all[kind] = {}; // a bench does not move
  if (kind === "rim" && clip.kind === "photo") track = new Map();
  marks.put(kind, at, { ...mark, x, y, sd: Math.max(MARK_SD.least, MARK_SD.screen * stage.grain) });
  stage.follow({ x, y });
  show();
  stage.magnify();
  changed();
}

/** @param {Film.Point} point */
function onTap(point) {
  if (!clip || stop) return;
  pause();
  put({ ...current(clip.picture, point), x: point.x, y: point.y });
}

/** @param {number} dx @param {number} dy @param {Film.Point} [start] */
function onMove(dx, dy, start) {
  if (!clip || stop) return;
  pause();
  const mark = current(clip.picture, start);
  put({ ...mark, x: mark.x + dx, y: mark.y + dy });
}

/** @param {number} dx */
function onSize(dx) {
  if (!clip || stop || kind !== "rim") return;
  const mark = rimNow(clip.picture);
  const radius = (mark.a + mark.b) / 2;
  put(grownBy(mark, Math.min(4, Math.max(0.25, (radius + dx) / radius))));
}

/** @param {number} x @param {number} y */
function nudge(x, y) {
  if (!clip) return;
  if (!marks.at(kind, at) && !(kind === "rim" && track.get(at))) return put(current(clip.picture));
  onMove(x * stage.grain, y * stage.grain);
}

/** @param {number} by */
function size(by) {
  if (clip && kind === "rim") put(grownBy(rimNow(clip.picture), by));
}

const times = () => (far ? FAR : 1);
byId("left").addEventListener("click", () => nudge(-times(), 0));
byId("right").addEventListener("click", () => nudge(times(), 0));
byId("up").addEventListener("click", () => nudge(0, -times()));
byId("down").addEventListener("click", () => nudge(0, times()));
byId("smaller").addEventListener("click", () => size(RIM_STEP ** -times()));
byId("larger").addEventListener("click", () => size(RIM_STEP ** times()));
byId("far").addEventListener("click", () => {
  far = !far;
  byId("far").setAttribute("aria-pressed", String(far));
});
byId("remove").addEventListener("click", () => {
  marks.remove(kind, at);
  stage.closeLoupe();
  show();
  changed();
});

/** @param {KeyboardEvent} event */
function onKey(event) {
  if (!clip || stop || event.ctrlKey || event.metaKey || event.altKey) return;
  const by = event.shiftKey ? FAR : times();
  /** @type {{ [key: string]: (() => void) | undefined }} */
  const keys = {
    ArrowLeft: () => nudge(-by, 0), ArrowRight: () => nudge(by, 0), ArrowUp: () => nudge(0, -by), ArrowDown: () => nudge(0, by),
    "+": () => size(RIM_STEP ** times()), "-": () => size(RIM_STEP ** -times()), ",": () => step(-1), ".": () => step(1),
  };
  const does = keys[event.key];
  if (!does) return;
  event.preventDefault();
  does();
}

// ---- following

/** @param {string} text */
function sayFollow(text, isError = false) {
  byId("follow-said").textContent = text;
  byId("follow-said").dataset.kind = isError ? "error" : "note";
  byId("follow-lead").hidden = Boolean(text) || clip?.kind === "photo";
}

byId("follow").addEventListener("click", () => {
  if (!clip) return;
  const marked = marks.all.rim[at]; // before what was followed to here: it mends that
  const mark = marked ? ringOf(marked) : (clip.kind === "photo" ? null : outlineAt(track, marks, at));
  if (!mark) {
    choose("rim");
    return sayFollow(say("film_rim_first"), true);
  }
  follow(clip, mark);
});
byId("stop").addEventListener("click", () => {
  if (performance.now() - followedAt > TWICE_MS) ended(say("film_stopped")); // it stands where “follow” was
});

/** @param {Open} opened @param {Film.Ring} mark */
function follow(opened, mark) {
  followedAt = performance.now();
  pause();
  client.drop("measure");
  stage.closeLoupe();
  tellTrouble(null);
  const from = at;
  const last = opened.kind === "photo" ? 0 : opened.lastFrom(from);
  for (const index of [...track.keys()]) if (index >= from) track.delete(index);
  byId("stop").hidden = followed.hidden = false;
  byId("follow").hidden = true;
  busy(true);
  followed.value = 0;
  showLost(opened);
  let told = 0;
  const { x, y, a, b, tilt } = mark;
  stop = opened.follow(from, { x, y, a, b, tilt }, ({ frames = [], preview: picture = null, done, trouble }) => {
    if (!stop) return;
    for (const [index, result] of frames) track.set(index, result);
    const newest = frames.at(-1);
    if (newest) {
      [at] = newest;
      followed.value = (at - from + 1) / (last - from + 1);
    }
    if (picture) {
      preview?.close();
      preview = picture;
      tellWhere(opened);
      show();
      if (performance.now() - told > 2000) {
        told = performance.now();
        sayFollow(say("film_following", at - from + 1, last - from + 1));
      }
    }
    if (trouble) ended("", trouble, from, mark);
    else if (done) {
      const next = marks.missing().includes("shoulder") ? "film_lead_shoulder" : "film_result_below";
      ended(`${opened.kind === "photo" ? say("film_fitted") : summary(opened, from, last)} ${say(next)}`);
    }
  });
}

/** While the plate is followed the picture is the tracker's. @param {boolean} so */
function busy(so) {
  for (const id of ["steps", "rail", "keys", "kinds"]) byId(id).inert = so;
}

/** Ends what is being followed, if anything. */
function leave() {
  busy(false);
  stop?.();
  stop = null;
  byId("stop").hidden = followed.hidden = true;
  byId("follow").hidden = false;
  preview?.close();
  preview = null;
}

/** Following has ended: by itself, by hand, or with trouble. @param {string} text @param {Film.Told["trouble"] | null} trouble @param {Film.Ring | null} mark */
function ended(text, trouble = null, from = at, mark = null) {
  leave();
  if (!clip) return;
  if (trouble) {
    const loose = clip.kind === "photo" && trouble.code === "no_rim";
    const known = ["no_rim", "mark_small", "old_browser", "broken"].includes(trouble.code) ? trouble.code : "broken";
    const detail = known === "mark_small" ? [mark ? ((mark.a + mark.b) / 2).toFixed(0) : ""] : [clip.file.name, trouble.detail];
    const { message, remedy } = troubleOf(known, ...detail);
    if (known === "no_rim" || known === "mark_small") track.delete(from);
    sayFollow(loose ? say("film_fitted_loose") : `${message} ${remedy}`, !loose);
  } else sayFollow(text);
  showLost(clip);
  goTo(trouble ? from : at).then(() => { if (!trouble && marks.missing().includes("shoulder")) choose("shoulder"); });
  changed();
}

/** @param {Open} shown @param {number} from @param {number} last */
function summary({ times: all }, from, last) {
  const gone = stretches(track).filter(({ lost, to }) => lost && to >= from);
  const lost = gone.reduce((sum, one) => sum + one.to - Math.max(from, one.from) + 1, 0);
  const span = [last - from + 1, seconds(all[from]), seconds(all[last])];
  const parts = [!lost ? say("film_done", ...span) : gone.length > 1 ? say("film_done_lost", ...span, lost, gone.length) : say("film_done_lost_one", ...span, lost)];
  if (last < all.length - 1) parts.push(say("film_limit", seconds(all[from] + FOLLOWED_S)));
  return parts.join(" ");
}

/** What was lost: a strip along the time, and a list to go there. @param {Open} shown */
function showLost({ times: all }) {
  const parts = stretches(track);
  const gone = parts.filter(({ lost }) => lost);
  const strip = byId("strip", SVGElement);
  strip.replaceChildren();
  for (const { from, to, lost } of parts) {
    const bar = document.createElementNS("http://www.w3.org/2000/svg", "rect");
    const share = 1000 / all.length;
    for (const [key, value] of Object.entries({ x: from * share, y: 0, width: (to - from + 1) * share, height: 10, class: lost ? "gone" : "held" })) bar.setAttribute(key, String(value));
    strip.append(bar);
  }
  const name = (/** @type {Film.Stretch} */ { from, to }) => say("film_from_to", seconds(all[from]), seconds(all[to]));
  const held = parts.filter(({ lost }) => !lost);
  const list = (/** @type {Film.Stretch[]} */ some) => some.map(name).join(", ") || say("film_nothing");
  strip.setAttribute("aria-label", parts.length ? say("film_strip", list(held), list(gone)) : say("film_strip_none"));
  byId("lost").replaceChildren(...gone.slice(0, LOST_SHOWN).map(({ from, to, why }) => {
    const item = document.createElement("li");
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = say(why === "left" ? "film_lost_left" : "film_lost_covered", seconds(all[from]), seconds(all[to]));
    button.addEventListener("click", () => {
      choose("rim");
      goTo(from);
      byId("stage").scrollIntoView({ block: "nearest" });
    });
    item.append(button);
    return item;
  }));
}

// ---- measuring

function changed() {
  clearTimeout(resting);
  clearTimeout(keeping);
  keeping = setTimeout(keep, KEEP_REST_MS);
  if (clip) lead(clip);
  if (!stop) resting = setTimeout(measure, MEASURE_REST_MS);
}

/** @param {Kept.Lifter} lifter */
function fit(lifter) {
  const tape = tapeOf(lifter);
  if (!tape) return null;
  const { choice, preference } = ofLift(lifter);
  return { ...tapeRequestOf(tape), ...(choice ? { choice } : {}), ...(preference !== null ? { preference } : {}) };
}

function measure() {
  if (!clip || !record || stop) return;
  const plan = fit(record);
  byId("plan-said").textContent = !plan ? say("film_plan_none") : record.id === GUEST ? say("film_plan_guest") : say("film_plan_of", record.name);
  const request = requestOf({ clip, marks, track, ...about.values(), fit: plan });
  if (!request) {
    client.drop("measure");
    answer = null;
    about.showErrors([]);
    attach.show(null, record);
    return clearAnswer();
  }
  byId("measured-said").textContent = say(awake ? "film_measuring" : "film_waiting");
  client.ask("measure", request);
}

/** @param {Core.Measured | Core.Refused} response */
function onMeasured(response) {
  about.showErrors(response.errors, response.reading);
  byId("measured-said").textContent = "";
  if (!response.ok) {
    answer = null;
    clearAnswer("");
    showErrors(response.errors);
    attach.show(null, record);
    return;
  }
  answer = response;
  showAnswer(response);
  attach.show(response, record);
}

byId("csv").addEventListener("click", async () => {
  if (answer && clip) byId("csv-said").textContent = await save(csvOf(answer, marks, clip), clip.file.name);
});

// ---- what outlives a reload of this tab: what was typed and marked, never the clip

function keep() {
  const film = clip ? { file: printOf(clip.file), marks: marks.all, at } : keptInTab();
  keepInTab({ ...film, about: about.typed() });
}
document.addEventListener("visibilitychange", keep);

// ---- start

byId("follow").dataset.clip = byId("follow").textContent ?? "";
byId("follow").dataset.photo = say("film_fit_rim");
about.restore(keptInTab()?.about);

async function whose() {
  await store.open();
  record = await store.read(await store.current()).catch(() => store.read(GUEST));
  const tape = tapeOf(record);
  if (tape) about.suggestUnit(tape.unit);
  measure();
}
store.watch((id) => { if (!id || id === record?.id) whose(); });
whose();
