// A file that comes in: looked through by Python, shown as what it would change, written only as chosen. Who is new here goes in as he
// stands in the file; Python puts together the others.

import { say } from "../../words.mjs";
import { make } from "../shared/element.mjs";
import { nameOf } from "../shared/errors.mjs";
import { ofVersion1, same } from "../shared/record.mjs";
import { byId, find, findAll } from "../shared/find.mjs";
import { inWords } from "../shared/said.mjs";
import * as store from "../shared/store.mjs";
import { LARGEST } from "../shared/file.mjs";

const form = byId("preview", HTMLFormElement);
const list = byId("preview-list");
/** @type {{ [state: string]: string[] | undefined }} */
const CHOICES = { new: ["theirs", "mine"], other: ["theirs", "mine"], changed: ["theirs", "mine", "both"], conflict: ["together", "mine", "both"] };

/** @typedef {{ [id: string]: Kept.Lifter }} ById */
let file = { name: "", text: "" };
/** @type {{ response: Core.Preview, text: string } | null} */
let seen = null; // what Python said, and of which text
/** @type {ById} */
let here = {}; // as it stood at the last preview
/** @type {ById} */
let base = {};
/** @type {string[]} */
let differing = []; // who is not in the file just as here
/** @type {string[]} */
let names = [];
/** @type {ReturnType<typeof partsOf>["broken"]} */
let aside = []; // who goes aside with it
let own = { records: /** @type {Kept.Lifter[]} */ ([]), common: /** @type {ById} */ ({}) }; // what goes in without Python
let told = ""; // what went wrong, and stays while the file is looked through once more

/** @param {string} text */
export function said(text, wrong = "") {
  byId("file-said").textContent = text;
  byId("file-wrong").textContent = wrong;
}

/** Lifters in a text that may be no JSON at all; whether they are sound is Python's to say. @param {string} text @returns {Kept.Lifter[]} */
function liftersIn(text) {
  try {
    return JSON.parse(text).lifters.filter((/** @type {Kept.Lifter | null} */ one) => typeof one?.id === "string");
  } catch {
    return [];
  }
}

/**
 * A file that was looked through: the lifters that are sound beside what Python said of each, those who are not, and the file with some of them only.
 * @param {NonNullable<typeof seen>} of
 */
function partsOf({ response: { lifters, damaged }, text }) {
  /** @type {{ lifters: Kept.Lifter[] }} */
  const whole = JSON.parse(text);
  const places = new Set(damaged.map(({ place }) => place));
  const sound = whole.lifters.filter((_, place) => !places.has(place)).map((record, i) => ({ ...lifters[i], record }));
  const broken = damaged.map(({ place, name, fault }) => ({ name, fault, raw: whole.lifters[place] }));
  return { sound, broken, textWith: (/** @type {Kept.Lifter[]} */ some) => JSON.stringify({ ...whole, lifters: some }) };
}

/** Those of some ids. @template T @param {{ [id: string]: T }} all @param {string[]} ids */
const only = (all, ids) => Object.fromEntries(ids.flatMap((id) => (Object.hasOwn(all, id) ? [[id, all[id]]] : [])));

/** What the file's and the one here both hold: `{id: record}` where it is known. @param {Kept.Lifter[]} theirs @param {{ [id: string]: Kept.Meta }} metas @returns {ById} */
function commonOf(theirs, metas) {
  const found = theirs.map((one) => /** @type {const} */ ([one.id, Object.hasOwn(here, one.id) ? store.commonOf(metas[one.id] ?? null, one) : null]));
  return Object.fromEntries(found.flatMap(([id, common]) => (common ? [[id, common]] : [])));
}

/** One of several, the first unless another is chosen. @param {string} name @param {string} legend @param {[value: string, text: string][]} ways */
function choiceOf(name, legend, ways, more = {}) {
  const labels = ways.map(([value, text], i) => make("label", make("input", { type: "radio", name, value, checked: i === 0, ...more }), make("span", text)));
  return make("fieldset", { class: "choice" }, make("legend", { class: "unseen" }, legend), ...labels);
}

/** What differs in one part, and where both changed it, whose it is to be. @param {Core.InFile} of @param {Core.InFile["differences"][0]} part */
function partOf({ id, name }, { path, label, mine, theirs, take }) {
  const text = say("lifters_difference", label, mine, theirs, say(`lifters_takes_${take}`));
  if (take !== "conflict") return make("li", text);
  const ways = /** @type {[string, string][]} */ ([["mine", say("lifters_conflict_mine", mine)], ["theirs", say("lifters_conflict_theirs", theirs)]]);
  return make("li", text, choiceOf(`${id} ${path}`, say("lifters_choose_part", label, name), ways, { "data-of": id, "data-path": path }));
}

/** @param {Core.InFile} one */
function itemOf(one) {
  const lines = one.differences.map((part) => partOf(one, part));
  const isNew = one.state === "new" || one.state === "other";
  const ways = CHOICES[one.state]?.map((value) => /** @type {[string, string]} */ ([value, say(isNew ? `lifters_choice_new_${value}` : `lifters_choice_${value}`)]));
  return make(
    "li", { "data-state": one.state },
    make("p", make("strong", one.name), " ", say(`lifters_state_${one.state}`)),
    one.namesake && make("p", { class: "quiet" }, say("lifters_namesake")),
    lines.length > 0 && make("ul", ...lines),
    ways && choiceOf(one.id, say("lifters_choose_for", one.name), ways),
  );
}

/** @param {Core.Preview} response @param {Core.FileAsked} asked */
function show(response, { text }) {
  seen = { response, text };
  const count = response.lifters.length + response.damaged.length;
  if (!count) {
    close();
    return said(say("lifters_file_empty", file.name));
  }
  const day = new Date(response.exported).toLocaleDateString();
  byId("preview-said").textContent = say("lifters_preview", file.name, count, day);
  const damaged = response.damaged.map(({ name, message }) => make("li", { "data-state": "damaged" }, make("p", say("lifters_aside", name, message))));
  list.replaceChildren(...damaged, ...response.lifters.map(itemOf));
  form.hidden = false;
  find(form, "h3").scrollIntoView({ block: "nearest" });
  return undefined;
}

function close() {
  form.hidden = true;
  list.replaceChildren();
  seen = null;
}

/** @type {() => unknown} */
let preview;

/** Has a text that came otherwise looked through as a file would be. @param {string} name @param {string} text */
export function openText(name, text) {
  close();
  file = { name, text };
  preview();
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
  preview = async () => {
    try {
      const all = await store.list();
      const theirs = liftersIn(file.text);
      const ids = new Set(theirs.map(({ id }) => id));
      names = all.map((record) => record.name);
      here = Object.fromEntries(all.filter((record) => ids.has(record.id)).map((record) => [record.id, record]));
      const others = theirs.filter((one) => Object.hasOwn(here, one.id) && !same(store.asKept(ofVersion1(one)), here[one.id]));
      differing = [...new Set(others.map(({ id }) => id))];
      base = differing.length ? commonOf(others, await store.metas()) : {};
    } catch (error) {
      const trouble = store.asTrouble(error);
      return said("", inWords(trouble));
    }
    const alike = Object.keys(here).filter((id) => !differing.includes(id));
    return ask("lifters/preview", { text: file.text, here: only(here, differing), base, names, alike });
  };

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
    if (!seen) return;
    const { sound, broken, textWith } = partsOf(seen);
    const ticked = findAll(list, "input:checked", HTMLInputElement);
    const chosen = ticked.filter(({ dataset }) => !dataset.of).map(({ name, value }) => [name, value === "together" ? "theirs" : value]);
    /** @type {{ [id: string]: string[] }} by id, the parts in which mine stays */
    const keep = {};
    for (const { value, dataset: { of, path } } of ticked) if (of && path && value === "mine") (keep[of] ??= []).push(path);
    const choices = Object.fromEntries([...sound.map(({ id }) => [id, "mine"]), ...chosen]); // also of who brings nothing new
    const asItStands = (/** @type {typeof sound} */ some) => Object.fromEntries(some.map(({ id, record }) => [id, ofVersion1(record)]));
    const added = asItStands(sound.filter(({ id, state }) => state === "new" && choices[id] === "theirs"));
    aside = broken;
    own = { records: Object.values(added), common: { ...added, ...asItStands(sound.filter(({ state }) => state === "same")) } };
    const others = sound.filter(({ state }) => state !== "new" && state !== "same");
    const ids = others.map(({ id }) => id);
    if (!ids.length) return onMerged({ records: [], common: {} });
    const spare = Object.fromEntries(ids.map((id) => [id, store.newId()]));
    const text = textWith(others.map(({ record }) => record));
    return ask("lifters/merge", { text, here: only(here, ids), base: only(base, ids), choices: only(choices, ids), keep, spare, now: new Date().toISOString() });
  });

  /** @param {Core.Refused} response */
  function refused({ errors: [problem] }) {
    close();
    said("", say("labelled", file.name, inWords(problem)));
  }

  /** @param {Pick<Core.Merged, "records" | "common">} merged */
  async function onMerged(merged) {
    const records = [...own.records, ...merged.records];
    try {
      if (aside.length) await store.putAsideOfFile(aside);
      await store.write(records, here, { ...own.common, ...merged.common });
    } catch (error) {
      const trouble = store.asTrouble(error);
      said("", inWords(trouble));
      if (trouble.code === "changed") {
        told = inWords(trouble);
        preview();
      }
      return;
    }
    close();
    const count = records.length;
    said(count ? say("lifters_imported", count) : say("lifters_imported_none"));
    onWritten(records);
  }

  return (...answered) => {
    const [kind, response, asked] = answered;
    if (!response.ok) return refused(response);
    if (kind === "lifters/merge") return onMerged(response);
    said("", told);
    told = "";
    return show(response, asked);
  };
}
