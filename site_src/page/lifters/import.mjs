// A file that comes in: looked through by Python, shown as what it would change, written only as chosen.

import { say } from "../../words.mjs";
import * as store from "../store.mjs";
import { LARGEST } from "./file.mjs";

const byId = (id) => document.getElementById(id);
const form = byId("preview");
const list = byId("preview-list");
const CHOICES = { new: ["theirs", "mine"], other: ["theirs", "mine"], changed: ["theirs", "mine", "both"], conflict: ["mine", "theirs", "both"] };

let file = null; // {name, text}
let here = {}; // {id: record} as it stood at the last preview
let base = {};
let names = [];
let told = ""; // what went wrong, and stays while the file is looked through once more

function said(text, wrong = "") {
  byId("file-said").textContent = text;
  byId("file-wrong").textContent = wrong;
}

/** Ids in a text that may be no JSON at all; whether it is sound is Python's to say. */
function idsIn(text) {
  try {
    return JSON.parse(text).lifters.map((one) => one.id).filter((id) => typeof id === "string");
  } catch {
    return [];
  }
}

function put(element, ...children) {
  element.append(...children);
  return element;
}

function make(name, text = "", attributes = {}) {
  const made = document.createElement(name);
  made.textContent = text;
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  return made;
}

function choiceOf(one) {
  const box = make("fieldset", "", { class: "choice" });
  box.append(make("legend", say("lifters_choose_for", one.name), { class: "unseen" }));
  CHOICES[one.state].forEach((value, i) => {
    const input = make("input", "", { type: "radio", name: one.id, value });
    input.checked = i === 0;
    const word = one.state === "new" || one.state === "other" ? `lifters_choice_new_${value}` : `lifters_choice_${value}`;
    box.append(put(make("label"), input, make("span", say(word))));
  });
  return box;
}

function itemOf(one) {
  const item = make("li", "", { "data-state": one.state });
  item.append(put(make("p"), make("strong", one.name), ` ${say(`lifters_state_${one.state}`)}`));
  if (one.namesake) item.append(make("p", say("lifters_namesake"), { class: "quiet" }));
  const lines = one.differences.map(({ label, mine, theirs, take }) => make("li", say("lifters_difference", label, mine, theirs, say(`lifters_takes_${take}`))));
  if (lines.length) item.append(put(make("ul"), ...lines));
  if (CHOICES[one.state]) item.append(choiceOf(one));
  return item;
}

function show(response) {
  const count = response.lifters.length;
  if (!count) {
    close();
    return said(say("lifters_file_empty", file.name));
  }
  const day = new Date(response.exported).toLocaleDateString();
  byId("preview-said").textContent = count === 1 ? say("lifters_preview_one", file.name, day) : say("lifters_preview", file.name, count, day);
  list.replaceChildren(...response.lifters.map(itemOf));
  form.hidden = false;
  form.querySelector("h3").scrollIntoView({ block: "nearest" });
  return undefined;
}

function close() {
  form.hidden = true;
  list.replaceChildren();
}

/** `ask(want, request)` asks Python; `onWritten(records)` after a file was written. What its answers go to. */
export function listenForFiles({ ask, isAwake, onWritten }) {
  async function preview() {
    try {
      const all = await store.list();
      const metas = await store.metas();
      const ids = new Set(idsIn(file.text));
      names = all.map((record) => record.name);
      here = Object.fromEntries(all.filter((record) => ids.has(record.id)).map((record) => [record.id, record]));
      base = Object.fromEntries(Object.values(metas).filter((meta) => meta.base && here[meta.id]).map((meta) => [meta.id, meta.base]));
    } catch (trouble) {
      return said("", `${trouble.message} ${trouble.remedy ?? ""}`);
    }
    return ask("lifters/preview", { text: file.text, here, base, names });
  }

  byId("file").addEventListener("change", async ({ target }) => {
    const [chosen] = target.files;
    if (!chosen) return;
    close();
    said(say(isAwake() ? "lifters_file_reading" : "lifters_file_waiting", chosen.name));
    try {
      if (chosen.size > 4 * LARGEST) throw new RangeError();
      file = { name: chosen.name, text: await chosen.text() };
      if (file.text.length > LARGEST) throw new RangeError();
    } catch (error) {
      const large = error instanceof RangeError;
      return said("", large ? say("lifters_file_large", chosen.name, (chosen.size / 1e6).toFixed(1)) : say("lifters_file_unread", chosen.name, error.name));
    } finally {
      target.value = ""; // so that the same file, mended, can be chosen again
    }
    return preview();
  });

  byId("preview-no").addEventListener("click", () => {
    close();
    said("");
  });

  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const choices = Object.fromEntries([...list.querySelectorAll("input:checked")].map((input) => [input.name, input.value]));
    const spare = {};
    for (const id of idsIn(file.text)) {
      choices[id] ??= "mine"; // the same, or nothing new
      spare[id] = store.newId();
    }
    ask("lifters/merge", { text: file.text, here, base, choices, spare, now: new Date().toISOString() });
  });

  function refused({ errors: [{ message, remedy }] }) {
    close();
    said("", `${file.name}: ${message} ${remedy}`);
  }

  async function onMerged({ records, common }) {
    try {
      await store.write(records, here, common);
    } catch (trouble) {
      said("", `${trouble.message} ${trouble.remedy}`);
      if (trouble.code === "changed") {
        told = `${trouble.message} ${trouble.remedy}`;
        preview();
      }
      return;
    }
    close();
    const count = records.length;
    said(count === 1 ? say("lifters_imported_one") : count ? say("lifters_imported", count) : say("lifters_imported_none"));
    onWritten(records);
  }

  return (kind, response) => {
    if (!response.ok) return refused(response);
    if (kind === "lifters/merge") return onMerged(response);
    said("", told);
    told = "";
    return show(response);
  };
}
