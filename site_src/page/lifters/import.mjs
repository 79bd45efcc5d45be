// A file that comes in: looked through by Python, shown as what it would change, written only as chosen.

import { say } from "../../words.mjs";
import { make } from "../shared/element.mjs";
import { nameOf } from "../shared/errors.mjs";
import { byId, find, findAll } from "../shared/find.mjs";
import * as store from "../shared/store.mjs";
import { LARGEST } from "../shared/file.mjs";

const form = byId("preview", HTMLFormElement);
const list = byId("preview-list");
/** @type {{ [state: string]: Core.FileChoice[] | undefined }} */
const CHOICES = { new: ["theirs", "mine"], other: ["theirs", "mine"], changed: ["theirs", "mine", "both"], conflict: ["mine", "theirs", "both"] };

/** @typedef {{ [id: string]: Kept.Lifter }} ById */
let file = { name: "", text: "" };
/** @type {ById} */
let here = {}; // as it stood at the last preview
/** @type {ById} */
let base = {};
/** @type {string[]} */
let names = [];
let told = ""; // what went wrong, and stays while the file is looked through once more

/** @param {string} text */
function said(text, wrong = "") {
  byId("file-said").textContent = text;
  byId("file-wrong").textContent = wrong;
}

/** Ids in a text that may be no JSON at all; whether it is sound is Python's to say. @param {string} text @returns {string[]} */
function idsIn(text) {
  try {
    return JSON.parse(text).lifters.map((/** @type {{ id: unknown }} */ one) => one.id).filter((/** @type {unknown} */ id) => typeof id === "string");
  } catch {
    return [];
  }
}

/** @param {Core.InFile} one @param {Core.FileChoice[]} choices */
function choiceOf(one, choices) {
  const word = one.state === "new" || one.state === "other" ? "lifters_choice_new_" : "lifters_choice_";
  const ways = choices.map((value, i) => {
    const input = make("input", { type: "radio", name: one.id, value, checked: i === 0 });
    return make("label", input, make("span", say(word + value)));
  });
  return make("fieldset", { class: "choice" }, make("legend", { class: "unseen" }, say("lifters_choose_for", one.name)), ...ways);
}

/** @param {Core.InFile} one */
function itemOf(one) {
  const lines = one.differences.map(({ label, mine, theirs, take }) => make("li", say("lifters_difference", label, mine, theirs, say(`lifters_takes_${take}`))));
  const choices = CHOICES[one.state];
  return make(
    "li", { "data-state": one.state },
    make("p", make("strong", one.name), ` ${say(`lifters_state_${one.state}`)}`),
    one.namesake && make("p", { class: "quiet" }, say("lifters_namesake")),
    lines.length > 0 && make("ul", ...lines),
    choices && choiceOf(one, choices),
  );
}

/** @param {Core.Preview} response */
function show(response) {
  const count = response.lifters.length + response.damaged.length;
  if (!count) {
    close();
    return said(say("lifters_file_empty", file.name));
  }
  const day = new Date(response.exported).toLocaleDateString();
  byId("preview-said").textContent = count === 1 ? say("lifters_preview_one", file.name, day) : say("lifters_preview", file.name, count, day);
  const damaged = response.damaged.map(({ name, message }) => make("li", { "data-state": "damaged" }, make("p", say("lifters_aside", name, message))));
  list.replaceChildren(...damaged, ...response.lifters.map(itemOf));
  form.hidden = false;
  find(form, "h3").scrollIntoView({ block: "nearest" });
  return undefined;
}

function close() {
  form.hidden = true;
  list.replaceChildren();
}

/**
 * `ask(want, request)` asks Python; `onWritten(records)` after a file was written. What its answers go to.
 * @param {object} hooks
 * @param {<K extends keyof Core.FileQuestions>(want: K, request: Core.FileQuestions[K]["request"]) => void} hooks.ask
 * @param {() => boolean} hooks.isAwake
 * @param {(records: Kept.Lifter[]) => void} hooks.onWritten
 * @returns {Core.OnResponse<Core.FileQuestions>}
 */
export function listenForFiles({ ask, isAwake, onWritten }) {
  async function preview() {
    try {
      const all = await store.list();
      const metas = await store.metas();
      const ids = new Set(idsIn(file.text));
      names = all.map((record) => record.name);
      here = Object.fromEntries(all.filter((record) => ids.has(record.id)).map((record) => [record.id, record]));
      base = Object.fromEntries(Object.values(metas).flatMap((meta) => (meta.base && Object.hasOwn(here, meta.id) ? [[meta.id, meta.base]] : [])));
    } catch (error) {
      const trouble = store.asTrouble(error);
      return said("", `${trouble.message} ${trouble.remedy}`);
    }
    return ask("lifters/preview", { text: file.text, here, base, names });
  }

  const input = byId("file", HTMLInputElement);
  input.addEventListener("change", async () => {
    const [chosen] = input.files ?? [];
    if (!chosen) return;
    close();
    said(say(isAwake() ? "lifters_file_reading" : "lifters_file_waiting", chosen.name));
    try {
      if (chosen.size > 4 * LARGEST) throw new RangeError();
      file = { name: chosen.name, text: await chosen.text() };
      if (file.text.length > LARGEST) throw new RangeError();
    } catch (error) {
      const large = error instanceof RangeError;
      return said("", large ? say("lifters_file_large", chosen.name, (chosen.size / 1e6).toFixed(1), LARGEST / 1e6) : say("lifters_file_unread", chosen.name, nameOf(error)));
    } finally {
      input.value = ""; // so that the same file, mended, can be chosen again
    }
    return preview();
  });

  byId("preview-no").addEventListener("click", () => {
    close();
    said("");
  });

  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const ids = idsIn(file.text);
    const chosen = findAll(list, "input:checked", HTMLInputElement).map(({ name, value }) => [name, value]);
    const choices = Object.fromEntries([...ids.map((id) => [id, "mine"]), ...chosen]); // also of who is the same, or brings nothing new
    const spare = Object.fromEntries(ids.map((id) => [id, store.newId()]));
    ask("lifters/merge", { text: file.text, here, base, choices, spare, now: new Date().toISOString() });
  });

  /** @param {Core.Refused} response */
  function refused({ errors: [{ message, remedy }] }) {
    close();
    said("", `${file.name}: ${message} ${remedy}`);
  }

  /** @param {Core.Merged} response */
  async function onMerged({ records, common, damaged }) {
    try {
      if (damaged.length) await store.putAsideOfFile(damaged);
      await store.write(records, here, common);
    } catch (error) {
      const trouble = store.asTrouble(error);
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

  return (...answered) => {
    const [kind, response] = answered;
    if (!response.ok) return refused(response);
    if (kind === "lifters/merge") return onMerged(response);
    said("", told);
    told = "";
    return show(response);
  };
}
