// The lifters screen: a list, one of them opened, a file out and in, what was deleted or found damaged.

import { say } from "../../words.mjs";
import { startCalculator } from "../shared/calculator.mjs";
import { button, fillList, make, showText, withDates } from "../shared/element.mjs";
import { byId, find, findAll } from "../shared/find.mjs";
import { still } from "../shared/press.mjs";
import { nothingOfLift, tapeOf } from "../shared/record.mjs";
import * as store from "../shared/store.mjs";
import { rawFile, saveFiles, saveLifters } from "../shared/file.mjs";
import { listenForFiles } from "./import.mjs";
import { flush, listenToLifter, showLifter, storeDraft } from "./lifter.mjs";
import { toRemindOf } from "./remind.mjs";
import { numberOf } from "../shared/parts.mjs";

const NAMED_NUMBERS = 2;
const search = byId("search", HTMLInputElement);
const shared = byId("shared", HTMLInputElement);
const newName = byId("new-name", HTMLInputElement);
const names = Object.fromEntries(findAll(byId("names", HTMLTemplateElement).content, "[data-key]").map((one) => [one.dataset.key, one.textContent]));
const nameOf = (/** @type {string} */ key) => names[key] ?? key.split("/").at(-1) ?? "";
const plain = (/** @type {string} */ text) => text.normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase();

/** @type {Kept.Lifter[]} */
let lifters = [];
let opened = ""; // an id
let onFit = "";
let awake = false;
/** @type {Kept.Lifter | null} */
let undone = null; // the lifter that “Undo” takes back

const client = startCalculator(/** @type {import("../shared/calculator.mjs").Settings<Core.FileQuestions>} */ ({
  kinds: ["lifters/preview", "lifters/merge"],
  onResponse: (...answered) => { onFile(...answered); },
  onAwake: (now) => { awake = now; },
  beforeReload: flush,
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
  showText(find(byId("store-trouble"), "p"), trouble && `${trouble.message} ${trouble.remedy}`, byId("store-trouble"));
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
  const found = await tried(store.list());
  if (found) lifters = found;
  onFit = await store.current();
  showList();
  byId("save-all", HTMLButtonElement).disabled = !lifters.length;
  byId("archived-line").hidden = !lifters.some((one) => one.archived);
  byId("search-line").hidden = lifters.length < 2;
  const record = one() ?? null;
  if (!record) opened = "";
  showLifter(record);
  if (found) await Promise.all([showDeleted(), showDamaged(), showDevice()]);
}

/** @param {Kept.Lifter} record */
function summaryOf(record) {
  const tape = tapeOf(record);
  if (!tape) return say("lifters_no_tape");
  const numbers = Object.entries(tape.fields).slice(0, NAMED_NUMBERS).map(([key, text]) => `${nameOf(key)} ${numberOf(key, text, tape.unit)}`);
  return [...numbers, say("lifters_taped", tape.date)].join(", ");
}

/** @param {string} id */
function newSlip(id) {
  const inside = [make("strong"), make("span"), make("em", say("lifters_here")), make("em", say("lifters_archived"))];
  return make("li", button("", () => openLifter(id), { "data-id": id, class: "slip" }, ...inside));
}

/** The same slip stays the same element, also while a finger is on it. @param {Kept.Lifter[]} records */
function showSlips(records) {
  fillList(byId("list"), records.map(({ id }) => id), newSlip).forEach((item, i) => {
    const record = records[i];
    const slip = find(item, "button");
    const [name, summary, here, archived] = findAll(slip, ":scope > *");
    name.textContent = record.name;
    summary.replaceChildren(...withDates(summaryOf(record)));
    here.hidden = record.id !== onFit;
    archived.hidden = !record.archived;
    if (record.id === opened) slip.setAttribute("aria-current", "true");
    else slip.removeAttribute("aria-current");
  });
}

/** @param {string} id @returns {HTMLElement | null} */
const slipOf = (id) => byId("list").querySelector(`[data-id="${id}"]`);

function showList() {
  const wanted = plain(search.value.trim());
  const withArchived = byId("archived", HTMLInputElement).checked || wanted;
  const within = lifters.filter((one) => withArchived || !one.archived);
  const shown = within.filter((one) => plain(`${one.name} ${one.notes}`).includes(wanted));
  showSlips(shown);
  const hidden = lifters.length - within.length;
  const count = lifters.length === 1 ? say("lifters_count_one") : say("lifters_count", lifters.length);
  const said = [wanted ? say("lifters_found", shown.length, lifters.length, search.value.trim()) : count];
  if (hidden) said.push(say("lifters_hidden", hidden));
  byId("count").textContent = lifters.length ? `${said.join("; ")}.` : say("lifters_count_none");
}

/** @param {string} id */
function openLifter(id) {
  opened = id;
  showLifter(lifters.find((one) => one.id === id) ?? null);
  showList();
  byId("lifter").focus({ preventScroll: true });
  byId("lifter").scrollIntoView();
}

search.addEventListener("input", showList);
byId("archived").addEventListener("change", showList);
byId("back").addEventListener("click", () => {
  byId("list-title").scrollIntoView();
  slipOf(opened)?.focus({ preventScroll: true });
});

byId("add").addEventListener("submit", async (event) => {
  event.preventDefault();
  try {
    const made = await store.create({ name: newName.value });
    newName.value = byId("add-said").textContent = "";
    if (!lifters.length) await store.persisted({ ask: true });
    await refresh();
    openLifter(made.id);
    byId("lifter-said").textContent = say("lifters_added", made.name);
  } catch (error) {
    const trouble = store.asTrouble(error);
    byId("add-said").textContent = `${trouble.message} ${trouble.remedy}`;
    newName.focus();
  }
});
newName.addEventListener("input", () => { byId("add-said").textContent = ""; });

// ---- the one that is open

const one = () => lifters.find(({ id }) => id === opened);

/** @param {Promise<Kept.Lifter>} promise */
async function changed(promise, said = "") {
  const record = await tried(promise);
  if (!record) return null;
  await refresh();
  if (said) byId("lifter-said").textContent = said;
  return record;
}

listenToLifter({
  nameOf,
  patch: (id, base, changes) => changed(store.patch(id, base, changes)),
  settle: (path, value) => changed(store.settle(opened, path, value), say("lifters_saved")),
});

/** @param {string} address */
async function goTo(address) {
  await flush();
  await store.setCurrent(opened);
  location.assign(address);
}

byId("to-fit").addEventListener("click", () => goTo("./"));
byId("to-sets").addEventListener("click", () => goTo("sets.html"));
byId("save-one").addEventListener("click", async () => {
  const record = one();
  if (record) byId("lifter-said").textContent = await saveLifters([record]);
});

byId("duplicate").addEventListener("click", async () => {
  await flush();
  const record = one();
  if (!record) return;
  const { name, notes, tapes, lift } = record;
  const lifts = Object.fromEntries(Object.entries(record.lifts).map(([key, kept]) => [key, { ...kept, trials: nothingOfLift().trials }]));
  let number = 2;
  while (lifters.some((other) => other.name === say("lifters_copy", name, number))) number += 1;
  const copy = await tried(store.create({ name: say("lifters_copy", name, number), notes, tapes, lift, lifts }));
  if (!copy) return;
  await refresh();
  openLifter(copy.id);
  byId("lifter-said").textContent = say("lifters_duplicated", copy.name);
});

byId("archive").addEventListener("click", async () => {
  const record = one();
  if (!record) return;
  const { archived, name } = record;
  await changed(store.patch(opened, { archived }, { archived: !archived }), say(archived ? "lifters_unarchived_now" : "lifters_archived_now", name));
});

byId("delete").addEventListener("click", async () => {
  await flush();
  const gone = await tried(store.remove(opened));
  if (!gone) return;
  undone = gone;
  byId("undo").hidden = false;
  find(byId("undo"), "p").textContent = say("lifters_deleted", gone.name);
  await refresh();
  find(byId("undo"), "button").focus();
});

/** @param {Kept.Lifter} record */
async function takeBack(record) {
  const back = await tried(store.restore(record));
  if (!back) return;
  byId("undo").hidden = true;
  await refresh();
  openLifter(back.id);
  byId("lifter-said").textContent = say("lifters_back", back.name);
}
find(byId("undo"), "button").addEventListener("click", () => { if (undone) takeBack(undone); });

// ---- what is put aside

/** A button that says what it does, and does it at the second tap. @param {string} text @param {string} sure @param {() => void} act */
function sureButton(text, sure, act) {
  const made = button(text, () => {
    if (made.textContent === sure) act();
    else made.textContent = sure;
  });
  return made;
}

async function showDeleted() {
  const found = (await tried(store.deleted())) ?? [];
  byId("deleted").hidden = !found.length;
  fillList(find(byId("deleted"), "ul"), found, ({ id, record, deleted }) => {
    const back = button(say("lifters_take_back"), () => takeBack(record));
    const gone = sureButton(say("lifters_erase"), say("lifters_erase_sure"), async () => {
      await tried(store.erase(id));
      if (undone?.id === id) byId("undo").hidden = true;
      await refresh();
    });
    return make("li", make("strong", record.name), make("span", say("lifters_deleted_on", new Date(deleted).toLocaleDateString())), back, gone);
  });
}

/** @param {unknown} raw what may be anything */
const nameIn = (raw) => (typeof raw === "object" && raw && "name" in raw && typeof raw.name === "string" ? raw.name : "");

async function showDamaged() {
  const found = (await tried(store.damaged())) ?? [];
  byId("damaged").hidden = !found.length;
  fillList(find(byId("damaged"), "ul"), found, ({ key, id, raw, fault, found: when }) => {
    const keep = button(say("lifters_damaged_save"), () => {
      byId("file-said").textContent = saveFiles([rawFile([{ id, raw, fault, found: when }])]);
    });
    const drop = sureButton(say("lifters_damaged_drop"), say("lifters_erase_sure"), async () => {
      await tried(store.dropDamaged(key));
      await refresh();
    });
    const name = nameIn(raw) || id;
    return make("li", make("span", say("lifters_damaged_one", name, fault ?? "", new Date(when).toLocaleDateString())), keep, drop);
  });
}

// ---- files, reminder, this device

async function saveAll() {
  await flush();
  byId("file-said").textContent = await saveLifters(lifters);
  byId("remind").hidden = true;
}
byId("save-all").addEventListener("click", saveAll);
byId("remind-save").addEventListener("click", saveAll);
byId("remind-later").addEventListener("click", () => { byId("remind").hidden = true; });

async function remind() {
  const count = await toRemindOf();
  showText(find(byId("remind"), "p"), count === 1 ? say("lifters_remind_one") : count ? say("lifters_remind", count) : "", byId("remind"));
}

async function showDevice() {
  const kept = await store.persisted();
  byId("persisted").textContent = say(kept ? "lifters_persisted" : kept === false ? "lifters_not_persisted" : "lifters_persist_unknown");
  byId("ask-persist").hidden = kept !== false;
  shared.checked = Boolean(await tried(store.setting("shared")));
}
byId("ask-persist").addEventListener("click", async () => {
  await store.persisted({ ask: true });
  await showDevice();
});
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
  await remind();
}
begin();
