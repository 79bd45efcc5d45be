// The screen of the film check: open, mark, follow, read. The picture never leaves the device and is never kept.

import { say } from "../../words.mjs";
import { startCalculator } from "../calculator.mjs";
import { TWICE_MS } from "../press.mjs";
import { GUEST, requestOf as tapeRequestOf, tapeOf } from "../record.mjs";
import * as store from "../store.mjs";
import { About } from "./about.mjs";
import { Attach } from "./attach.mjs";
import { FOLLOWED_S, open, troubleOf } from "./clip.mjs";
import { keepInTab, keptInTab } from "./keep.mjs";
import { KINDS, Marks, NEEDED, grownBy, outlineAt, requestOf, ring, stretches } from "./marks.mjs";
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

const byId = (id) => document.getElementById(id);
const stage = new Stage({ onTap, onMove, onSize, onKey });
const about = new About(byId("about"), changed);

let clip = null;
let marks = new Marks();
let track = new Map(); // index → what the tracker said
let at = 0; // the picture that is shown
let kind = "rim";
let far = false;
let preview = null;
let stop = null; // ends what is being followed
let followedAt = 0;
let opening = 0;
let openedAs = ""; // what is open, in words
let answer = null;
let record = null;
let resting = 0;
let keeping = 0;
let awake = false;

const client = startCalculator({
  kinds: ["measure", "sets"],
  onResponse: (what, response) => (what === "measure" ? onMeasured(response) : attach.onSets(response)),
  onAwake: (now) => {
    awake = now;
    if (now && answer === null) measure();
  },
  beforeReload: keep,
});
const attach = new Attach(client);

const said = (text) => { byId("said").textContent = text; };
const seconds = (time) => time.toFixed(2);

// ---- opening

async function openFile(file) {
  if (!file) return;
  const turn = ++opening;
  leave();
  tellTrouble(null);
  said(say("film_opening", file.name));
  let opened;
  try {
    opened = await open(file, byId("video"));
  } catch (trouble) {
    if (turn !== opening) return;
    tellTrouble(trouble.code ? trouble : troubleOf("broken", file.name, trouble.message));
    said("");
    if (clip) { // the one that was open stays so
      await clip.takeVideo();
      lead();
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
  showLost();
  byId("bench").hidden = false;
  byId("how").open = false;
  document.documentElement.dataset.film = clip.kind;
  byId("steps").hidden = byId("rail").hidden = clip.kind === "photo";
  byId("at").max = String(clip.times.length - 1);
  byId("follow").textContent = clip.kind === "photo" ? byId("follow").dataset.photo : byId("follow").dataset.clip;
  stage.open(clip.source, clip.picture);
  choose(marks.places("rim").length ? "shoulder" : "rim");
  clearAnswer();
  sayFollow("");
  await goTo(known ? (before.at ?? 0) : 0);
  openedAs = say(known ? "film_reopened" : "film_opened", file.name, facts());
  lead();
  byId("said").scrollIntoView({ block: "start" }); // what comes next, and the picture below it
}

/** What is open, and what comes next. */
function lead() {
  const [missing] = marks.missing();
  const next = missing ? `film_lead_${missing}` : clip.kind === "clip" && !track.size ? "film_lead_follow_on" : "";
  const text = next ? `${openedAs} ${say(next)}` : openedAs;
  if (byId("said").textContent !== text) said(text);
}

const printOf = (file) => ({ name: file.name, size: file.size, changed: file.lastModified });
const same = (print, file) => print && Object.entries(printOf(file)).every(([key, value]) => print[key] === value);

/** What kind of clip it is, in words. */
function facts() {
  const { width, height } = clip.picture;
  if (clip.kind === "photo") return say("film_size_photo", width, height);
  const steps = clip.times.slice(1).map((time, i) => time - clip.times[i]).sort((a, b) => a - b);
  const usual = steps[steps.length >> 1] || 1;
  const rate = Math.round(1 / usual);
  const long = clip.times.at(-1) - clip.times[0] + (clip.last || 0);
  const parts = steps.length ? [say("film_size", width, height, rate, long.toFixed(1))] : [say("film_size_photo", width, height), say("film_one_picture")];
  if (clip.info.turned) parts.push(say("film_turned"));
  const [least, most] = [steps[Math.floor(0.02 * steps.length)], steps[Math.floor(0.98 * (steps.length - 1))]];
  if (steps.length > 4 && most > EVEN * least) parts.push(say("film_uneven", Math.round(1000 * least), Math.round(1000 * most)));
  if (steps.length && rate < RATES.low) parts.push(say("film_slow_rate", rate));
  if (rate > RATES.high) parts.push(say("film_high_rate", rate));
  if (!clip.info.decodes) parts.push(say("film_by_seeking"));
  return parts.join("; ");
}

function tellTrouble(trouble) {
  const box = byId("film-trouble");
  box.hidden = !trouble;
  if (!trouble) return;
  box.querySelector('[data-part="message"]').textContent = trouble.message;
  box.querySelector('[data-part="remedy"]').textContent = trouble.remedy;
  box.scrollIntoView({ block: "nearest" });
}

for (const id of ["file", "camera"]) {
  byId(id).addEventListener("change", ({ target }) => {
    openFile(target.files[0]);
    target.value = ""; // so that the same file can be opened again
  });
}

// ---- the picture that is shown

async function goTo(index) {
  if (!clip) return;
  at = Math.min(clip.times.length - 1, Math.max(0, index));
  preview = null;
  tellWhere();
  await clip.show(at);
  show();
}

function tellWhere() {
  byId("back").disabled = byId("back-ten").disabled = at === 0;
  byId("on").disabled = byId("on-ten").disabled = at === clip.times.length - 1;
  byId("at").value = String(at);
  byId("at").setAttribute("aria-valuetext", `${say("film_time", seconds(clip.times[at]))}, ${say("film_picture_of", at + 1, clip.times.length)}`);
  byId("time").textContent = clip.kind === "photo" ? say("film_photo") : say("film_time", clip.times[at].toFixed(3));
  byId("frame-said").textContent = clip.kind === "photo" ? "" : say("film_picture_of", at + 1, clip.times.length);
}

/** Draws everything again: picture, marks, states. */
function show() {
  if (!clip) return;
  const held = outlineAt(track, marks, at);
  const shown = KINDS.map((one) => [one, marks.at(one, at)]).filter(([one, found]) => found && !(one === "rim" && !found.own && track.get(at)));
  stage.show({
    preview,
    held: track.get(at) && !track.get(at).lost ? held : null,
    path: pathOf(),
    marks: shown.map(([one, { own, mark }]) => ({ ...mark, kind: one, own: own || one.startsWith("edge"), chosen: one === kind, label: say(`film_${one}`) })),
  });
  showStates();
}

function pathOf() {
  return stretches(track).filter(({ lost }) => !lost).map(({ from, to }) => {
    const points = [];
    for (let index = from; index <= to; index++) points.push([track.get(index).x, track.get(index).y]);
    return points;
  });
}

function showStates() {
  for (const radio of byId("kinds").querySelectorAll("input")) {
    const state = marks.places(radio.value).length ? "film_set" : NEEDED.includes(radio.value) ? "film_needed" : radio.value === "bar_end" ? "film_helps" : "film_optional";
    radio.nextElementSibling.querySelector('[data-part="state"]').textContent = say(state);
    radio.nextElementSibling.classList.toggle("set", marks.places(radio.value).length > 0);
  }
  const found = marks.at(kind, at);
  const name = say(`film_${kind}`);
  const time = found && clip.kind === "clip" ? seconds(clip.times[found.index]) : "";
  const status = !found ? say("film_unset") : !time ? say("film_set") : found.own ? say("film_set_at", time) : say("film_ghost", time);
  const state = track.get(at);
  const held = !state ? "" : state.lost ? say("film_mend") : state.how === "face" ? say("film_face") : say("film_held", Math.round(100 * state.quality));
  byId("mark-said").textContent = [say("film_status", name, status), held].filter(Boolean).join(" ");
  byId("mark-hint").textContent = say(`film_${kind.startsWith("edge") ? "edge" : kind}_hint`);
  byId("smaller").disabled = byId("larger").disabled = kind !== "rim";
  byId("remove").disabled = !found;
  byId("zoom-out").disabled = stage.zoom <= 1;
}

function step(by) {
  pause();
  stage.closeLoupe();
  goTo(at + by);
}
for (const [id, by] of [["back-ten", -10], ["back", -1], ["on", 1], ["on-ten", 10]]) byId(id).addEventListener("click", () => step(by));
byId("at").addEventListener("input", ({ target }) => step(Number(target.value) - at));
byId("zoom-in").addEventListener("click", () => zoom(1.6));
byId("zoom-out").addEventListener("click", () => zoom(1 / 1.6));

function zoom(factor) {
  const found = marks.at(kind, at);
  stage.zoomBy(factor, found && factor > 1 ? { x: found.mark.x, y: found.mark.y } : null);
  showStates();
}

// ---- playing

function pause() {
  if (byId("video").paused) return;
  byId("video").pause();
}

byId("play").addEventListener("click", () => {
  const video = byId("video");
  if (!video.paused) return video.pause();
  if (at >= clip.times.length - 1) video.currentTime = clip.middle(0);
  video.play().catch(() => {});
});
byId("video").addEventListener("play", () => {
  byId("play").setAttribute("aria-pressed", "true");
  stage.closeLoupe();
  const tick = () => {
    if (byId("video").paused || clip?.kind !== "clip" || stop) return;
    at = clip.indexAt(byId("video").currentTime);
    tellWhere();
    show();
    requestAnimationFrame(tick);
  };
  tick();
});
byId("video").addEventListener("pause", () => {
  byId("play").setAttribute("aria-pressed", "false");
  if (clip?.kind === "clip" && !stop) goTo(clip.indexAt(byId("video").currentTime));
});

// ---- marking

function choose(which) {
  kind = which;
  byId("kinds").querySelector(`input[value="${which}"]`).checked = true;
  show();
}
byId("kinds").addEventListener("change", ({ target }) => {
  stage.closeLoupe();
  choose(target.value);
});

/** The chosen mark as it is now, in this picture; a new one is put at `point`. */
function current(point = stage.middle) {
  const found = kind === "rim" ? outlineAt(track, marks, at) ?? marks.at("rim", at)?.mark : marks.at(kind, at)?.mark;
  if (found) {
    const { x, y, a, b, tilt } = found;
    return kind === "rim" ? { x, y, a, b, tilt } : { x, y };
  }
  return kind === "rim" ? ring(point.x, point.y, FIRST_RADIUS * Math.min(clip.picture.width, clip.picture.height)) : { x: point.x, y: point.y };
}

function put(mark) {
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

function onTap(point) {
  if (!clip || stop) return;
  pause();
  put({ ...current(point), x: point.x, y: point.y });
}

function onMove(dx, dy, start) {
  if (!clip || stop) return;
  pause();
  const mark = current(start);
  put({ ...mark, x: mark.x + dx, y: mark.y + dy });
}

function onSize(dx) {
  if (!clip || stop || kind !== "rim") return;
  const mark = current();
  const radius = (mark.a + mark.b) / 2;
  put(grownBy(mark, Math.min(4, Math.max(0.25, (radius + dx) / radius))));
}

function nudge(x, y) {
  if (!marks.at(kind, at) && !(kind === "rim" && track.get(at))) return put(current());
  onMove(x * stage.grain, y * stage.grain);
}

function size(by) {
  if (kind !== "rim") return;
  put(grownBy(current(), by));
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

function onKey(event) {
  if (!clip || stop || event.ctrlKey || event.metaKey || event.altKey) return;
  const by = event.shiftKey ? FAR : times();
  const does = {
    ArrowLeft: () => nudge(-by, 0), ArrowRight: () => nudge(by, 0), ArrowUp: () => nudge(0, -by), ArrowDown: () => nudge(0, by),
    "+": () => size(RIM_STEP ** times()), "-": () => size(RIM_STEP ** -times()), ",": () => step(-1), ".": () => step(1),
  }[event.key];
  if (!does) return;
  event.preventDefault();
  does();
}

// ---- following

function sayFollow(text, isError = false) {
  byId("follow-said").textContent = text;
  byId("follow-said").dataset.kind = isError ? "error" : "note";
  byId("follow-lead").hidden = Boolean(text) || clip.kind === "photo";
}

byId("follow").addEventListener("click", () => {
  const mark = marks.all.rim[at] ?? (clip.kind === "photo" ? null : outlineAt(track, marks, at));
  if (!mark) {
    choose("rim");
    return sayFollow(say("film_rim_first"), true);
  }
  follow(mark);
});
byId("stop").addEventListener("click", () => {
  if (performance.now() - followedAt > TWICE_MS) ended(say("film_stopped")); // it stands where “follow” was
});

function follow(mark) {
  followedAt = performance.now();
  pause();
  client.drop("measure");
  stage.closeLoupe();
  tellTrouble(null);
  const from = at;
  const last = clip.kind === "photo" ? 0 : clip.lastFrom(from);
  for (const index of [...track.keys()]) if (index >= from) track.delete(index);
  byId("stop").hidden = byId("followed").hidden = false;
  byId("follow").hidden = true;
  busy(true);
  byId("followed").value = 0;
  showLost();
  let told = 0;
  const { x, y, a, b, tilt } = mark;
  stop = clip.follow(from, { x, y, a, b, tilt }, ({ frames = [], preview: picture = null, done, trouble }) => {
    if (!stop) return;
    for (const [index, result] of frames) track.set(index, result);
    if (frames.length) {
      at = frames.at(-1)[0];
      byId("followed").value = (at - from + 1) / (last - from + 1);
    }
    if (picture) {
      preview?.close();
      preview = picture;
      tellWhere();
      show();
      if (performance.now() - told > 2000) {
        told = performance.now();
        sayFollow(say("film_following", at - from + 1, last - from + 1));
      }
    }
    if (trouble) ended("", trouble, from, mark);
    else if (done) {
      const next = marks.missing().includes("shoulder") ? "film_lead_shoulder" : "film_result_below";
      ended(`${clip.kind === "photo" ? say("film_fitted") : summary(from, last)} ${say(next)}`);
    }
  });
}

/** While the plate is followed the picture is the tracker's. */
function busy(so) {
  for (const id of ["steps", "rail", "keys", "kinds"]) byId(id).inert = so;
}

/** Ends what is being followed, if anything. */
function leave() {
  busy(false);
  stop?.();
  stop = null;
  byId("stop").hidden = byId("followed").hidden = true;
  byId("follow").hidden = false;
  preview?.close();
  preview = null;
}

/** Following has ended: by itself, by hand, or with trouble. */
function ended(text, trouble = null, from = at, mark = null) {
  leave();
  if (trouble) {
    const loose = clip.kind === "photo" && trouble.code === "no_rim";
    const known = ["no_rim", "mark_small", "old_browser", "broken"].includes(trouble.code) ? trouble.code : "broken";
    const detail = known === "mark_small" ? [((mark.a + mark.b) / 2).toFixed(0)] : [clip.file.name, trouble.detail];
    const { message, remedy } = troubleOf(known, ...detail);
    if (known === "no_rim" || known === "mark_small") track.delete(from);
    sayFollow(loose ? say("film_fitted_loose") : `${message} ${remedy}`, !loose);
  } else sayFollow(text);
  showLost();
  goTo(trouble ? from : at).then(() => { if (!trouble && marks.missing().includes("shoulder")) choose("shoulder"); });
  changed();
}

function summary(from, last) {
  const gone = stretches(track).filter(({ lost, to }) => lost && to >= from);
  const lost = gone.reduce((sum, one) => sum + one.to - Math.max(from, one.from) + 1, 0);
  const span = [last - from + 1, seconds(clip.times[from]), seconds(clip.times[last])];
  const parts = [!lost ? say("film_done", ...span) : gone.length > 1 ? say("film_done_lost", ...span, lost, gone.length) : say("film_done_lost_one", ...span, lost)];
  if (last < clip.times.length - 1) parts.push(say("film_limit", seconds(clip.times[from] + FOLLOWED_S)));
  return parts.join(" ");
}

/** What was lost: a strip along the time, and a list to go there. */
function showLost() {
  const parts = stretches(track);
  const gone = parts.filter(({ lost }) => lost);
  const strip = byId("strip");
  strip.replaceChildren();
  for (const { from, to, lost } of parts) {
    const bar = document.createElementNS("http://www.w3.org/2000/svg", "rect");
    const share = 1000 / clip.times.length;
    for (const [key, value] of Object.entries({ x: from * share, y: 0, width: (to - from + 1) * share, height: 10, class: lost ? "gone" : "held" })) bar.setAttribute(key, value);
    strip.append(bar);
  }
  const name = ({ from, to }) => say("film_from_to", seconds(clip.times[from]), seconds(clip.times[to]));
  const held = parts.filter(({ lost }) => !lost);
  const list = (some) => some.map(name).join(", ") || say("film_nothing");
  strip.setAttribute("aria-label", parts.length ? say("film_strip", list(held), list(gone)) : say("film_strip_none"));
  byId("lost").replaceChildren(...gone.slice(0, LOST_SHOWN).map(({ from, to, why }) => {
    const item = document.createElement("li");
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = say(why === "left" ? "film_lost_left" : "film_lost_covered", seconds(clip.times[from]), seconds(clip.times[to]));
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
  if (clip) lead();
  if (!stop) resting = setTimeout(measure, MEASURE_REST_MS);
}

function fit() {
  const tape = tapeOf(record);
  if (!tape) return null;
  const { choice, preference } = record;
  return { ...tapeRequestOf(tape), ...(choice ? { choice } : {}), ...(preference !== null ? { preference } : {}) };
}

function measure() {
  if (!clip || !record || stop) return;
  const plan = fit();
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
  byId("csv-said").textContent = await save(csvOf(answer, marks, clip), clip.file.name);
});

// ---- what outlives a reload of this tab: what was typed and marked, never the clip

function keep() {
  keepInTab({ about: about.typed(), ...(clip ? { file: printOf(clip.file), marks: marks.all, at } : (({ file, marks: kept, at: then }) => ({ file, marks: kept, at: then }))(keptInTab() ?? {})) });
}
document.addEventListener("visibilitychange", keep);

// ---- start

byId("follow").dataset.clip = byId("follow").textContent;
byId("follow").dataset.photo = say("film_fit_rim");
about.restore(keptInTab()?.about);

async function whose() {
  await store.open();
  record = await store.read(await store.current()).catch(() => store.read(GUEST));
  if (tapeOf(record)?.unit) about.suggestUnit(tapeOf(record).unit);
  measure();
}
store.watch((id) => { if (!id || id === record?.id) whose(); });
whose();
