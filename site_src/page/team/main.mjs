// The team sheet: a CSV in, looked through, worked out a few rows at a time so that the page stays live, a CSV out.

import { say } from "../../words.mjs";
import { startCalculator } from "../shared/calculator.mjs";
import { byId, findAll } from "../shared/find.mjs";
import { canShare, download, share } from "../shared/hand-over.mjs";
import { LIFT, ofLiftHere } from "../shared/lift.mjs";
import * as kept from "../shared/store.mjs";
import { base64Of, csvFile, keptInTab } from "./files.mjs";
import { proposalsOf } from "./lifters.mjs";
import { listenToPeople } from "./people.mjs";
import { allInWords, fittable, sheet, source, store, tell, waiting } from "./sheet.mjs";
import { addResults, clearResults, hideRead, showRead } from "./show.mjs";
import { Work } from "./work.mjs";

const text = byId("text", HTMLTextAreaElement);
const setups = byId("setups");
const fit = byId("fit");
const results = byId("results");
const saveButton = byId("save", HTMLButtonElement);
const keepButton = byId("keep", HTMLButtonElement);
const fileInput = byId("file", HTMLInputElement);
const units = findAll(document, 'input[name="unit"]', HTMLInputElement);

/** @typedef {Core.TeamQuestions} Questions */

const client = startCalculator(/** @type {import("../shared/calculator.mjs").Settings<Questions>} */ ({
  kinds: ["team/read", "team/write", "team/example", "team/fit"],
  onResponse: take,
  onAwake: (now) => { sheet.awake = now; },
  beforeReload: store,
}));
/** @template {keyof Questions} K @param {K} want @param {Questions[K]["request"]} request */
const ask = (want, request) => client.ask(want, Object.assign(request, { want }));
const chosenUnit = () => /** @type {Kept.UnitSwitch} */ (units.find((radio) => radio.checked)?.value);
const work = new Work({
  ask: (rows) => ask("team/fit", { rows }),
  drop: () => client.drop("team/fit"),
  onStart: () => {
    results.hidden = false;
    closeOut();
    tell("out-said");
  },
  onDone: finish,
  onStop: () => {
    store();
    offerFit();
    tell("fit-said", say("team_stopped", Object.keys(sheet.got).length, fittable().length));
  },
});

// ---- reading

function readSheet() {
  work.halt();
  sheet.got = {};
  closeOut();
  store();
  if (!text.value.trim() && !sheet.bytes) {
    sheet.read = null;
    hideRead();
    setups.hidden = true;
    tell("said", say("team_no_text"));
    return;
  }
  tell("said", say(sheet.awake ? "team_reading" : "team_waiting"));
  ask("team/read", source());
}

/** @param {Questions["team/read"]["answer"]} response */
function takeRead(response) {
  if (response.text !== undefined) {
    text.value = response.text;
    store();
  }
  sheet.read = response.columns ? response : null;
  tell("said", "", allInWords(response.errors));
  if (sheet.read) {
    for (const radio of units) radio.checked = radio.value === sheet.read.unit;
    showRead(sheet.read, (header, key) => {
      sheet.assign = { ...sheet.assign, [header]: key };
      readSheet();
    });
    byId("columns", HTMLDetailsElement).open ||= !response.ok;
  } else hideRead();
  offerFit();
}

function offerFit() {
  setups.hidden = !sheet.read?.ok;
  if (!sheet.read?.ok) return;
  const count = waiting().length;
  const all = Object.values(sheet.got);
  fit.hidden = !count;
  fit.textContent = say("team_fit", count);
  tell("fit-said", fittable().length ? "" : say("team_none_to_fit"));
  results.hidden = !all.length;
  clearResults(sheet.read.shown);
  addResults(all.toSorted((a, b) => a.row - b.row));
  if (all.length) write();
  else tell("out-said");
}

// ---- worked out

/** @param {Questions["team/fit"]["answer"]} response */
function takeFit(response) {
  if (!work.runs) return;
  if (!response.ok) {
    work.halt();
    offerFit();
    tell("fit-said", allInWords(response.errors));
    return;
  }
  addResults(response.results);
  work.take(response.results);
}

function finish() {
  store();
  write();
  if (!sheet.read) return;
  const all = sheet.read.rows.length;
  const bad = all - Object.values(sheet.got).filter((one) => one.ok).length;
  tell("fit-said", bad ? say("team_done_problems", all - bad, bad) : say("team_done", all));
}

// ---- the sheet that goes out

/** What could be saved is not what is shown any more. */
function closeOut() {
  sheet.out = null;
  saveButton.disabled = true;
  byId("share").hidden = true;
  keepButton.disabled = true;
}

function write() {
  closeOut();
  if (!sheet.read) return;
  keepButton.disabled = !Object.values(sheet.got).some((one) => one.ok);
  const refused = sheet.read.rows.filter((one) => one.errors.length);
  /** @type {{ [row: string]: Kept.Texts }} */
  const cells = {};
  for (const one of refused) cells[one.row] = { problem: allInWords(one.errors) };
  for (const one of Object.values(sheet.got)) cells[one.row] = one.cells;
  ask("team/write", { ...source(), unit: sheet.read.unit, results: cells });
}

/** @param {Questions["team/write"]["answer"]} response */
function takeWrite(response) {
  if (!response.ok) return tell("out-said", allInWords(response.errors));
  sheet.out = csvFile(say("team_file_name"), response.csv);
  saveButton.disabled = false;
  byId("share").hidden = !canShare([sheet.out]);
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
  sheet.bytes = null;
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
  sheet.bytes = null;
  store();
});
text.addEventListener("paste", () => setTimeout(readSheet));
fileInput.addEventListener("change", async () => {
  const [file] = fileInput.files ?? [];
  if (!file) return;
  let bytes;
  try {
    bytes = await base64Of(file);
  } catch (error) {
    tell("said", "", error instanceof Error ? error.message : String(error));
    return;
  } finally {
    fileInput.value = ""; // so that the same file, mended, can be chosen again
  }
  Object.assign(sheet, { bytes, assign: {}, unit: null });
  readSheet();
});
for (const radio of units) {
  radio.addEventListener("change", () => {
    sheet.unit = chosenUnit();
    if (sheet.read) readSheet();
  });
}
byId("example").addEventListener("click", () => {
  const unit = chosenUnit();
  Object.assign(sheet, { assign: {}, unit });
  ask("team/example", ofLiftHere({ unit }));
});
byId("empty").addEventListener("click", () => ask("team/example", ofLiftHere({ unit: chosenUnit(), save: true })));
byId("clear").addEventListener("click", () => {
  text.value = "";
  Object.assign(sheet, { bytes: null, assign: {}, unit: null });
  readSheet();
  tell("said", say("team_cleared"));
  text.focus();
});
saveButton.addEventListener("click", () => {
  if (!sheet.out) return;
  download([sheet.out]);
  tell("out-said", say("team_saved", sheet.out.name));
});
byId("share").addEventListener("click", async () => {
  if (!sheet.out) return;
  const { how, why } = await share({ files: [sheet.out] });
  tell("out-said", how ? say("team_shared") : why && say("team_not_shared", why));
});
listenToPeople(async () => (sheet.read ? proposalsOf(sheet.read, sheet.got, await kept.list()) : []));

text.placeholder = JSON.parse(text.dataset.examples ?? "{}")[LIFT];

// ---- back after a reload

const before = keptInTab();
if (before && typeof before.text === "string") {
  const { unit = null, assign = {}, got = {} } = before;
  Object.assign(sheet, { unit, assign });
  text.value = before.text;
  readSheet();
  sheet.got = got; // the same text gives the same rows
  store();
}
