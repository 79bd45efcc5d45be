// The team sheet: a CSV in, looked through, worked out a few rows at a time so that the page stays live, a CSV out.

import { say } from "../../words.mjs";
import { startCalculator } from "../shared/calculator.mjs";
import { byId, findAll } from "../shared/find.mjs";
import { download } from "../shared/hand-over.mjs";
import { TWICE_MS } from "../shared/press.mjs";
import { inWords, listed, sentences } from "../shared/said.mjs";
import { base64Of, canShare, csvFile, keepInTab, keptInTab, share } from "./files.mjs";
import { keepAll } from "./lifters.mjs";
import { addResults, clearResults, hideRead, showRead } from "./show.mjs";

const text = byId("text", HTMLTextAreaElement);
const setups = byId("setups");
const fit = byId("fit");
const stop = byId("stop");
const done = byId("done", HTMLProgressElement);
const results = byId("results");
const saveButton = byId("save", HTMLButtonElement);
const keepButton = byId("keep", HTMLButtonElement);
const fileInput = byId("file", HTMLInputElement);
const units = findAll(document, 'input[name="unit"]', HTMLInputElement);
const BATCH_MS = 500; // what one question may take: then the screen says how far it is, and Stop is heard
const MOST_AT_ONCE = 20; // rows, as in the core

/**
 * @typedef {Core.TeamQuestions} Questions
 * @typedef {{ size: number, since: number, before: number, asked: number }} Running
 */

/** @type {string | null} */
let bytes = null; // the chosen file as base64, until its text is changed here
/** @type {Kept.UnitSwitch | null} */
let unit = null; // what a person chose; null: what the headers say
/** @type {Kept.Texts} */
let assign = {}; // {header: key}, said by a person
/** @type {Core.Sheet | null} */
let sheet = null; // as the core read it
/** @type {import("./files.mjs").Results} */
let got = {};
/** @type {Running | null} */
let running = null; // while rows are worked out
/** @type {File | null} */
let out = null; // the file to save
let awake = false;

const client = startCalculator(/** @type {import("../shared/calculator.mjs").Settings<Questions>} */ ({
  kinds: ["team/read", "team/write", "team/example", "team/fit"],
  onResponse: take,
  onAwake: (now) => { awake = now; },
  beforeReload: store,
}));
/** @template {keyof Questions} K @param {K} want @param {Questions[K]["request"]} request */
const ask = (want, request) => client.ask(want, Object.assign(request, { want }));
const chosenUnit = () => /** @type {Kept.UnitSwitch} */ (units.find((radio) => radio.checked)?.value);
/** @param {Core.Problem[]} errors */
const allInWords = (errors) => sentences(...errors.map(inWords));

/** @param {string} id */
function tell(id, message = "", wrong = "") {
  byId(id).textContent = message;
  if (id === "said") byId("wrong").textContent = wrong;
}

function store() {
  const state = text.value ? { text: text.value, unit, assign, got } : null;
  if (!keepInTab(state) && state) tell("said", say("team_not_stored"));
}

/** @returns {Core.SheetAsked} */
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

/** @param {Questions["team/read"]["answer"]} response */
function takeRead(response) {
  if (response.text !== undefined) {
    text.value = response.text;
    store();
  }
  sheet = response.columns ? response : null;
  tell("said", "", allInWords(response.errors));
  if (sheet) {
    for (const radio of units) radio.checked = radio.value === sheet.unit;
    showRead(sheet, (header, key) => {
      assign = { ...assign, [header]: key };
      readSheet();
    });
    byId("columns", HTMLDetailsElement).open ||= !response.ok;
  } else hideRead();
  offerFit();
}

const fittable = () => (sheet?.rows ?? []).filter((one) => !one.errors.length);
const waiting = () => fittable().filter((one) => !got[one.row]);

function offerFit() {
  setups.hidden = !sheet?.ok;
  if (!sheet?.ok) return;
  const count = waiting().length;
  const all = Object.values(got);
  fit.hidden = !count;
  fit.textContent = say("team_fit", count);
  tell("fit-said", fittable().length ? "" : say("team_none_to_fit"));
  results.hidden = !all.length;
  clearResults(sheet.unit);
  addResults(all.toSorted((a, b) => a.row - b.row));
  if (all.length) write();
  else tell("out-said");
}

// ---- working out

function askRows() {
  if (!running) return undefined;
  const rows = waiting().slice(0, running.size).map(({ row, name, request }) => ({ row, name, request }));
  if (!rows.length) return finish();
  running.asked = performance.now();
  return ask("team/fit", { rows });
}

function run() {
  const since = performance.now();
  running = { size: 1, since, asked: since, before: Object.keys(got).length };
  fit.hidden = true;
  stop.hidden = false;
  done.hidden = false;
  results.hidden = false;
  closeOut();
  tell("out-said");
  showProgress();
  askRows();
}

/** @param {Questions["team/fit"]["answer"]} response */
function takeFit(response) {
  if (!running) return;
  if (!response.ok) {
    halt();
    offerFit();
    tell("fit-said", allInWords(response.errors));
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
  if (!running) return;
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
  if (!sheet) return;
  const bad = sheet.rows.length - Object.values(got).filter((one) => one.ok).length;
  tell("fit-said", bad ? say("team_done_problems", sheet.rows.length - bad, bad) : say("team_done", sheet.rows.length));
}

// ---- the sheet that goes out

/** What could be saved is not what is shown any more. */
function closeOut() {
  out = null;
  saveButton.disabled = true;
  byId("share").hidden = true;
  keepButton.disabled = true;
}

function write() {
  closeOut();
  if (!sheet) return;
  keepButton.disabled = !Object.values(got).some((one) => one.ok);
  const refused = sheet.rows.filter((one) => one.errors.length);
  /** @type {{ [row: string]: Kept.Texts }} */
  const cells = {};
  for (const one of refused) cells[one.row] = { problem: allInWords(one.errors) };
  for (const one of Object.values(got)) cells[one.row] = one.cells;
  ask("team/write", { ...source(), unit: sheet.unit, results: cells });
}

/** @param {Questions["team/write"]["answer"]} response */
function takeWrite(response) {
  if (!response.ok) return tell("out-said", allInWords(response.errors));
  out = csvFile(say("team_file_name"), response.csv);
  saveButton.disabled = false;
  byId("share").hidden = !canShare(out);
  return undefined;
}

/** @param {Questions["team/example"]["answer"]} response @param {Questions["team/example"]["request"]} request */
function takeExample(response, request) {
  if (!response.ok) return tell("said", "", allInWords(response.errors));
  if (request.save) {
    const file = csvFile(say("team_empty_name"), response.text.split("\n")[0] + "\n");
    download([file]);
    return tell("said", say("team_saved", file.name));
  }
  text.value = response.text;
  bytes = null;
  return readSheet();
}

/** @type {Core.OnResponse<Questions>} */
function take(...answered) {
  const [kind, response, request] = answered;
  if (kind === "team/read") takeRead(response);
  else if (kind === "team/fit") takeFit(response);
  else if (kind === "team/write") takeWrite(response);
  else takeExample(response, request);
}

// ---- what a person does

byId("sheet").addEventListener("submit", (event) => {
  event.preventDefault();
  readSheet();
});
text.addEventListener("input", () => {
  bytes = null;
  store();
});
text.addEventListener("paste", () => setTimeout(readSheet));
fileInput.addEventListener("change", async () => {
  const [file] = fileInput.files ?? [];
  if (!file) return;
  try {
    bytes = await base64Of(file);
  } catch (error) {
    tell("said", "", error instanceof Error ? error.message : String(error));
    return;
  } finally {
    fileInput.value = ""; // so that the same file, mended, can be chosen again
  }
  assign = {};
  unit = null;
  readSheet();
});
for (const radio of units) {
  radio.addEventListener("change", () => {
    unit = chosenUnit();
    if (sheet) readSheet();
  });
}
byId("example").addEventListener("click", () => {
  assign = {};
  unit = chosenUnit();
  ask("team/example", { unit });
});
byId("empty").addEventListener("click", () => ask("team/example", { unit: chosenUnit(), save: true }));
byId("clear").addEventListener("click", () => {
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
  if (running && performance.now() - running.since < TWICE_MS) return; // it stands where “Fit” was
  halt();
  store();
  offerFit();
  tell("fit-said", say("team_stopped", Object.keys(got).length, fittable().length));
});
saveButton.addEventListener("click", () => {
  if (!out) return;
  download([out]);
  tell("out-said", say("team_saved", out.name));
});
byId("share").addEventListener("click", async () => { if (out) tell("out-said", await share(out)); });
keepButton.addEventListener("click", async () => {
  keepButton.disabled = true;
  const { kept, there, trouble } = await keepAll((sheet?.rows ?? []).filter((one) => got[one.row]?.ok));
  keepButton.disabled = false;
  const said = trouble ? say("team_kept_partly", kept.length, inWords(trouble)) : say("team_kept", kept.length);
  tell("out-said", sentences(said, there.length > 0 && say("team_kept_already", listed(there))));
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
