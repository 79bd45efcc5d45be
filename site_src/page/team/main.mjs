// The team sheet: a CSV in, looked through, worked out a few rows at a time so that the page stays live, a CSV out.

import { say } from "../../words.mjs";
import { startCalculator } from "../calculator.mjs";
import { TWICE_MS } from "../press.mjs";
import { base64Of, canShare, csvFile, keepInTab, keptInTab, save, share } from "./files.mjs";
import { keepAll } from "./lifters.mjs";
import { addResults, clearResults, hideRead, showRead } from "./show.mjs";

const at = (id) => document.querySelector(`#${id}`);
const text = at("text");
const setups = at("setups");
const fit = at("fit");
const stop = at("stop");
const done = at("done");
const results = at("results");
const units = [...document.querySelectorAll('input[name="unit"]')];
const BATCH_MS = 500; // what one question may take: then the screen says how far it is, and Stop is heard
const MOST_AT_ONCE = 20; // rows, as in the core

let bytes = null; // the chosen file as base64, until its text is changed here
let unit = null; // what a person chose; null: what the headers say
let assign = {}; // {header: key}, said by a person
let sheet = null; // as the core read it
let got = {}; // row → result
let running = null; // {since, asked, size} while rows are worked out
let out = null; // the file to save
let awake = false;

const client = startCalculator({
  kinds: ["team/read", "team/write", "team/example", "team/fit"],
  onResponse: (kind, response, request) => TAKE[kind](response, request),
  onAwake: (now) => { awake = now; },
  beforeReload: store,
});
const ask = (want, more = {}) => client.ask(want, { want, ...more });

function tell(id, message = "", wrong = "") {
  at(id).textContent = message;
  if (id === "said") at("wrong").textContent = wrong;
}

function store() {
  const state = text.value ? { text: text.value, unit, assign, got } : null;
  if (!keepInTab(state) && state) tell("said", say("team_not_stored"));
}

const source = () => ({ ...(bytes ? { base64: bytes } : { text: text.value }), unit, assign });

// ---- reading

function readSheet() {
  halt();
  got = {};
  closeOut();
  store();
  if (!text.value.trim() && !bytes) {
    sheet = null;
    hideRead();
    setups.hidden = true;
    tell("said", say("team_no_text"));
    return;
  }
  tell("said", say(awake ? "team_reading" : "team_waiting"));
  ask("team/read", source());
}

function takeRead(response) {
  if (response.text !== undefined) {
    text.value = response.text;
    store();
  }
  sheet = response.columns ? response : null;
  tell("said", "", response.errors.map((one) => `${one.message} ${one.remedy}`).join(" "));
  if (sheet) {
    for (const radio of units) radio.checked = radio.value === sheet.unit;
    showRead(sheet, (header, key) => {
      assign = { ...assign, [header]: key };
      readSheet();
    });
    at("columns").open ||= !response.ok;
  } else hideRead();
  offerFit();
}

const fittable = () => sheet.rows.filter((one) => !one.errors.length);
const waiting = () => fittable().filter((one) => !got[one.row]);

function offerFit() {
  setups.hidden = !sheet?.ok;
  if (setups.hidden) return;
  const count = waiting().length;
  const all = Object.values(got);
  fit.hidden = !count;
  fit.textContent = count === 1 ? say("team_fit_one") : say("team_fit_many", count);
  tell("fit-said", fittable().length ? "" : say("team_none_to_fit"));
  results.hidden = !all.length;
  clearResults(sheet.unit);
  addResults(all.toSorted((a, b) => a.row - b.row));
  if (all.length) write();
  else tell("out-said");
}

// ---- working out

function askRows() {
  const rows = waiting().slice(0, running.size).map(({ row, name, request }) => ({ row, name, request }));
  if (!rows.length) return finish();
  running.asked = performance.now();
  return ask("team/fit", { rows });
}

function run() {
  running = { size: 1, since: performance.now(), before: Object.keys(got).length };
  fit.hidden = true;
  stop.hidden = false;
  done.hidden = false;
  results.hidden = false;
  closeOut();
  tell("out-said");
  showProgress();
  askRows();
}

function takeFit(response) {
  if (!running) return;
  if (!response.ok) {
    halt();
    offerFit();
    tell("fit-said", response.errors.map((one) => `${one.message} ${one.remedy}`).join(" "));
    return;
  }
  for (const one of response.results) got[one.row] = one;
  addResults(response.results);
  const each = (performance.now() - running.asked) / response.results.length;
  running.size = Math.max(1, Math.min(MOST_AT_ONCE, Math.round(BATCH_MS / each)));
  showProgress();
  askRows();
}

function showProgress() {
  const all = fittable().length;
  const count = Object.keys(got).length;
  done.value = count / all;
  const lately = count - running.before;
  const left = lately ? Math.round(((performance.now() - running.since) / lately / 1000) * (all - count)) : 0;
  tell("fit-said", left > 2 ? say("team_progress_left", count, all, left) : say("team_progress", count, all));
}

/** Ends the work, if there is any; what is done stays. */
function halt() {
  client.drop("team/fit");
  running = null;
  stop.hidden = true;
  done.hidden = true;
}

function finish() {
  halt();
  store();
  write();
  const bad = sheet.rows.length - Object.values(got).filter((one) => one.ok).length;
  tell("fit-said", bad ? say("team_done_problems", sheet.rows.length - bad, bad) : say("team_done", sheet.rows.length));
}

// ---- the sheet that goes out

/** What could be saved is not what is shown any more. */
function closeOut() {
  out = null;
  at("save").disabled = true;
  at("share").hidden = true;
  at("keep").disabled = true;
}

function write() {
  closeOut();
  at("keep").disabled = !Object.values(got).some((one) => one.ok);
  const refused = sheet.rows.filter((one) => one.errors.length);
  const cells = refused.map((one) => [one.row, { problem: one.errors.map((e) => `${e.message} ${e.remedy}`).join(" ") }]);
  const fitted = Object.values(got).map((one) => [one.row, one.cells]);
  ask("team/write", { ...source(), unit: sheet.unit, results: Object.fromEntries([...cells, ...fitted]) });
}

function takeWrite(response) {
  if (!response.ok) return tell("out-said", response.errors.map((one) => `${one.message} ${one.remedy}`).join(" "));
  out = csvFile(say("team_file_name"), response.csv);
  at("save").disabled = false;
  at("share").hidden = !canShare(out);
  return undefined;
}

function takeExample(response, request) {
  if (request.save) {
    const file = csvFile(say("team_empty_name"), response.text.split("\n")[0] + "\n");
    save(file);
    tell("said", say("team_saved", file.name));
    return;
  }
  text.value = response.text;
  bytes = null;
  readSheet();
}

const TAKE = { "team/read": takeRead, "team/fit": takeFit, "team/write": takeWrite, "team/example": takeExample };

// ---- what a person does

at("sheet").addEventListener("submit", (event) => {
  event.preventDefault();
  readSheet();
});
text.addEventListener("input", () => {
  bytes = null;
  store();
});
text.addEventListener("paste", () => setTimeout(readSheet));
at("file").addEventListener("change", async ({ target }) => {
  const [file] = target.files;
  if (!file) return;
  try {
    bytes = await base64Of(file);
  } catch (error) {
    tell("said", "", error.message);
    return;
  } finally {
    target.value = ""; // so that the same file, mended, can be chosen again
  }
  assign = {};
  unit = null;
  readSheet();
});
for (const radio of units) {
  radio.addEventListener("change", () => {
    unit = radio.value;
    if (sheet) readSheet();
  });
}
at("example").addEventListener("click", () => {
  assign = {};
  unit = units.find((radio) => radio.checked).value;
  ask("team/example", { unit });
});
at("empty").addEventListener("click", () => ask("team/example", { unit: units.find((radio) => radio.checked).value, save: true }));
at("clear").addEventListener("click", () => {
  text.value = "";
  bytes = null;
  assign = {};
  unit = null;
  readSheet();
  tell("said", say("team_cleared"));
  text.focus();
});
fit.addEventListener("click", run);
stop.addEventListener("click", () => {
  if (performance.now() - running.since < TWICE_MS) return; // it stands where “Fit” was
  halt();
  store();
  offerFit();
  tell("fit-said", say("team_stopped", Object.keys(got).length, fittable().length));
});
at("save").addEventListener("click", () => {
  save(out);
  tell("out-said", say("team_saved", out.name));
});
at("share").addEventListener("click", async () => tell("out-said", await share(out)));
at("keep").addEventListener("click", async ({ target }) => {
  target.disabled = true;
  const { kept, there, trouble } = await keepAll(sheet.rows.filter((one) => got[one.row]?.ok));
  target.disabled = false;
  const said = trouble ? say("team_kept_partly", kept.length, trouble.message, trouble.remedy ?? "") : say("team_kept", kept.length);
  tell("out-said", there.length ? `${said} ${say("team_kept_already", there.join(", "))}` : said);
});

// ---- back after a reload

const kept = keptInTab();
if (kept && typeof kept.text === "string") {
  ({ unit = null, assign = {} } = kept);
  text.value = kept.text;
  const before = kept.got ?? {};
  readSheet();
  got = before; // the same text gives the same rows
  store();
}
