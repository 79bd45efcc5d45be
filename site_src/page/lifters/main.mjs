// The lifters screen: a list, one of them opened, a file out and in, what was deleted or found damaged.

import { say } from "../../words.mjs";
import { showAlong } from "../shared/along.mjs";
import { startCalculator } from "../shared/calculator.mjs";
import { showText } from "../shared/element.mjs";
import { saveLifters } from "../shared/file.mjs";
import { byId, find } from "../shared/find.mjs";
import { pageOf } from "../shared/lift.mjs";
import { still } from "../shared/press.mjs";
import { nothingOfLift } from "../shared/record.mjs";
import { inWords } from "../shared/said.mjs";
import * as store from "../shared/store.mjs";
import { clearAfter, setClearAfter } from "../shared/turn.mjs";
import { listenToAside, offerUndo, showDamaged, showDeleted } from "./aside.mjs";
import { board, listenToBoard, openedOne, showList, slipOf } from "./board.mjs";
import { listenToCodes, showCodes } from "./codes.mjs";
import { listenForFiles, openText, said as sayOfFile } from "./import.mjs";
import { flush, listenToLifter, showLifter, storeDraft } from "./lifter.mjs";

const shared = byId("shared", HTMLInputElement);
const clearing = byId("clear-after", HTMLSelectElement);
const newName = byId("new-name", HTMLInputElement);

let awake = false;
/** @type {(value: unknown) => void} */
let listed;

const client = startCalculator(/** @type {import("../shared/calculator.mjs").Settings<Core.FileQuestions>} */ ({
  kinds: ["lifters/preview", "lifters/merge"],
  onResponse: (...answered) => { onFile(...answered); },
  onAwake: (now) => { awake = now; },
  beforeReload: flush,
  after: new Promise((resolve) => { listed = resolve; }),
  along: { current: () => board.opened, all: () => board.lifters, go: openLifter },
}));
const onFile = listenForFiles({
  ask: (want, request) => client.ask(want, Object.assign(request, { want })),
  isAwake: () => awake,
  onWritten: async (records) => {
    if (records.length) await store.persisted({ ask: true });
    await refresh();
  },
});

/** @param {store.Trouble | null} trouble */
function tellTrouble(trouble) {
  showText(find(byId("store-trouble"), "p"), trouble && inWords(trouble), byId("store-trouble"));
}

/** The value of a promise of the store; undefined where it was refused, and then told. @template T @param {Promise<T>} promise */
async function tried(promise) {
  try {
    const value = await promise;
    await still();
    tellTrouble(null);
    return value ?? null;
  } catch (error) {
    await still();
    tellTrouble(store.asTrouble(error));
    return undefined;
  }
}

// ---- the list

async function refresh() {
  const [found, onFit] = await Promise.all([tried(store.list()), store.current(), store.hear().catch(() => {})]);
  if (found) board.lifters = found;
  board.onFit = onFit;
  showList();
  for (const id of ["save-all", "codes-all"]) byId(id, HTMLButtonElement).disabled = !board.lifters.length;
  byId("archived-line").hidden = !board.lifters.some((one) => one.archived);
  byId("search-line").hidden = board.lifters.length < 2;
  const record = openedOne() ?? null;
  if (!record) board.opened = "";
  showLifter(record);
  showAlong();
  if (found) await Promise.all([showDeleted(), showDamaged(), showDevice()]);
}

/** @param {string} id */
function openLifter(id) {
  board.opened = id;
  showLifter(openedOne() ?? null);
  showList();
  showAlong();
  byId("lifter").focus({ preventScroll: true });
  byId("lifter").scrollIntoView();
}

listenToBoard(openLifter);
byId("back").addEventListener("click", () => {
  byId("list-title").scrollIntoView();
  slipOf(board.opened)?.focus({ preventScroll: true });
});

byId("add").addEventListener("submit", async (event) => {
  event.preventDefault();
  try {
    const made = await store.create({ name: newName.value });
    newName.value = byId("add-said").textContent = "";
    if (!board.lifters.length) await store.persisted({ ask: true });
    await refresh();
    openLifter(made.id);
    byId("lifter-said").textContent = say("lifters_added", made.name);
  } catch (error) {
    const trouble = store.asTrouble(error);
    byId("add-said").textContent = inWords(trouble);
    newName.focus();
  }
});
newName.addEventListener("input", () => { byId("add-said").textContent = ""; });

// ---- the one that is open

/** @param {Promise<Kept.Lifter>} promise */
async function changed(promise, said = "") {
  const record = await tried(promise);
  if (!record) return null;
  await refresh();
  if (said) byId("lifter-said").textContent = said;
  return record;
}

listenToLifter({
  patch: (id, base, changes) => changed(store.patch(id, base, changes)),
  settle: (path, value) => changed(store.settle(board.opened, path, value), say("lifters_saved")),
});

/** @param {string} address */
async function goTo(address) {
  await flush();
  await store.setCurrent(board.opened);
  location.assign(address);
}

byId("to-fit").addEventListener("click", () => goTo(pageOf()));
byId("to-sets").addEventListener("click", () => goTo("sets.html"));
byId("to-three").addEventListener("click", () => goTo("three.html"));
byId("save-one").addEventListener("click", async () => {
  const record = openedOne();
  if (record) byId("lifter-said").textContent = await saveLifters([record]);
});

byId("duplicate").addEventListener("click", async () => {
  await flush();
  const record = openedOne();
  if (!record) return;
  const { name, notes, tapes, lift } = record;
  const lifts = Object.fromEntries(Object.entries(record.lifts).map(([key, kept]) => [key, { ...kept, trials: nothingOfLift().trials }]));
  let number = 2;
  while (board.lifters.some((other) => other.name === say("lifters_copy", name, number))) number += 1;
  const copy = await tried(store.create({ name: say("lifters_copy", name, number), notes, tapes, lift, lifts }));
  if (!copy) return;
  await refresh();
  openLifter(copy.id);
  byId("lifter-said").textContent = say("lifters_duplicated", copy.name);
});

byId("archive").addEventListener("click", async () => {
  const record = openedOne();
  if (!record) return;
  const { archived, name } = record;
  await changed(store.patch(board.opened, { archived }, { archived: !archived }), say(archived ? "lifters_unarchived_now" : "lifters_archived_now", name));
});

byId("delete").addEventListener("click", async () => {
  await flush();
  const gone = await tried(store.remove(board.opened));
  if (!gone) return;
  offerUndo(gone);
  await refresh();
  find(byId("undo"), "button").focus();
});

listenToAside({
  tried,
  refresh,
  onBack: ({ id, name }) => {
    openLifter(id);
    byId("lifter-said").textContent = say("lifters_back", name);
  },
});

// ---- files, this device

async function saveAll() {
  await flush();
  byId("file-said").textContent = await saveLifters(board.lifters);
  byId("remind").hidden = true;
}
byId("save-all").addEventListener("click", saveAll);
byId("codes-all").addEventListener("click", async () => {
  await flush();
  sayOfFile(await showCodes(board.lifters));
});
byId("codes-one").addEventListener("click", async () => {
  await flush();
  const record = openedOne();
  if (record) byId("lifter-said").textContent = await showCodes([record]);
});

async function showDevice() {
  const kept = await store.persisted();
  byId("persisted").textContent = say(kept ? "lifters_persisted" : kept === false ? "lifters_not_persisted" : "lifters_persist_unknown");
  byId("ask-persist").hidden = kept !== false;
  clearing.value = String(await clearAfter());
  shared.checked = Boolean(await tried(store.setting("shared")));
}
byId("ask-persist").addEventListener("click", async () => {
  await store.persisted({ ask: true });
  await showDevice();
});
clearing.addEventListener("change", () => tried(setClearAfter(Number(clearing.value))));
shared.addEventListener("change", () => tried(store.set("shared", shared.checked)));

// ---- start

store.onTrouble(tellTrouble);
store.watch(refresh);
addEventListener("pageshow", ({ persisted }) => { if (persisted) refresh(); });

async function begin() {
  const trouble = await store.open();
  await storeDraft((...given) => tried(store.patch(...given)));
  await refresh();
  if (trouble) tellTrouble(trouble);
  listenToCodes({ said: sayOfFile, open: openText });
}
begin().finally(() => listed(null)); // also where the list cannot be read
