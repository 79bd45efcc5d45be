// Who is who: nothing of a sheet is kept of somebody who is here already unless a person says that it is the same one.

import { say } from "../../words.mjs";
import { make } from "../shared/element.mjs";
import { byId, findAll } from "../shared/find.mjs";
import { tapeOf, today } from "../shared/record.mjs";
import { inWords, listed, sentences } from "../shared/said.mjs";
import * as store from "../shared/store.mjs";
import { newLifter } from "./lifters.mjs";

/** @typedef {import("./lifters.mjs").Proposal} Proposal @typedef {import("./lifters.mjs").Found} Found */

const form = byId("people", HTMLFormElement);
const took = byId("took");
/** @type {() => Proposal[]} */
let propose;
/** @type {Proposal[]} */
let proposals = [];

const isSame = (/** @type {Found} */ { lines }) => !lines.length;
/** To ask about: somebody of that name here, or in a row above. @param {Proposal} one */
const isAsked = ({ found, twice }) => twice || (found.length > 0 && !(found.length === 1 && isSame(found[0])));

function close() {
  form.hidden = true;
  byId("people-list").replaceChildren();
}

/** @param {Proposal} one */
function waysOf({ found, twice }) {
  const [first, ...others] = found;
  const same = found.map(({ record }) => {
    const tape = tapeOf(record);
    const which = others.length ? say("team_same_of", record.name, tape?.date ?? say("lifters_no_tape")) : say("team_same", record.name);
    return [record.id, record.archived ? listed([which, say("lifters_archived")]) : which];
  });
  return [...same, ["new", say(first ? "team_other" : "team_another")], ["", say(twice && !first ? "team_twice_leave" : "team_leave")]];
}

/** @param {Proposal} one */
function itemOf(one) {
  const { row, name, found, twice } = one;
  const ways = waysOf(one).map(([value, text]) => make("label", make("input", { type: "radio", name: `row-${row}`, value, "data-row": row }), make("span", text)));
  const changes = found.flatMap(({ record, lines }) => [
    found.length > 1 && make("li", make("strong", say("team_same_of", record.name, tapeOf(record)?.date ?? say("lifters_no_tape")))),
    ...(lines.length ? lines : [say("lifters_no_changes")]).map((line) => make("li", line)),
  ]);
  return make(
    "li",
    make("p", make("strong", name), " ", say(found.length ? "team_is_here" : "team_is_twice", row)),
    twice && found.length > 0 && make("p", { class: "quiet" }, say("team_is_twice", row)),
    changes.length > 0 && make("ul", ...changes),
    make("fieldset", { class: "choice" }, make("legend", { class: "unseen" }, say("lifters_choose_for", name)), ...ways),
  );
}

/** @param {string} text */
const said = (text) => { byId("out-said").textContent = text; };

/** Rows beside lifters: what nobody has to be asked about is kept at once. */
async function look() {
  proposals = propose();
  const asked = proposals.filter(isAsked);
  if (!asked.length) return write(new Map());
  const fresh = proposals.filter(({ found, twice }) => !found.length && !twice).length;
  const same = proposals.length - asked.length - fresh;
  byId("people-said").textContent = sentences(say("team_people", asked.length), fresh > 0 && say("team_people_new", fresh), same > 0 && say("team_people_same", same));
  byId("people-list").replaceChildren(...asked.map(itemOf));
  byId("people-wrong").textContent = "";
  byId("people-all").hidden = !asked.some(({ found, twice }) => found.length === 1 && !twice);
  form.hidden = false;
  byId("people-title").scrollIntoView({ block: "nearest" });
  form.focus({ preventScroll: true });
  return undefined;
}

/** @param {Map<number, string>} chosen by row: an id, "new", or "" for leaving it */
async function write(chosen) {
  const whoFor = (/** @type {Proposal} */ one) => (isAsked(one) ? (chosen.get(one.row) ?? "") : one.found.length ? "" : "new");
  const added = proposals.filter((one) => whoFor(one) === "new");
  const changed = proposals.flatMap((one) => one.found.filter(({ record, lines }) => record.id === whoFor(one) && lines.length));
  const left = proposals.filter((one) => isAsked(one) && !whoFor(one)).map(({ name }) => name);
  const same = proposals.filter((one) => !isAsked(one) && one.found.length).map(({ name }) => name);
  try {
    if (added.length || changed.length) {
      await store.takeOver(added.map(newLifter), changed.map(({ record, changes }) => ({ seen: record, changes })));
      await store.persisted({ ask: true });
    }
  } catch (error) {
    const trouble = store.asTrouble(error);
    close();
    return said(inWords(trouble));
  }
  close();
  said(sentences(
    say("team_kept", added.length), changed.length > 0 && say("team_changed", changed.length),
    left.length > 0 && say("team_left", listed(left)), same.length > 0 && say("team_kept_already", listed(same)),
  ));
  return showTaken();
}

/** What the last sheet brought can be taken back. */
export async function showTaken() {
  const taken = await store.takenOver().catch(() => null);
  took.hidden = !taken || !(taken.added.length || taken.changed.length);
  if (took.hidden || !taken) return;
  byId("took-said").textContent = say("team_took", taken.added.length, taken.changed.length, today(new Date(taken.at)));
}

/** `rows()`: the sheet's rows beside the lifters kept here, rejected with a Trouble. @param {() => Promise<Proposal[]>} rows */
export function listenToPeople(rows) {
  byId("keep").addEventListener("click", async () => {
    const button = byId("keep", HTMLButtonElement);
    button.disabled = true;
    try {
      const found = await rows();
      propose = () => found;
      await look();
    } catch (error) {
      said(inWords(store.asTrouble(error)));
    }
    button.disabled = false;
  });
  byId("people-all").addEventListener("click", () => {
    for (const { row, found, twice } of proposals) {
      const [only, more] = found;
      if (only && !more && !twice) findAll(form, `[data-row="${row}"]`, HTMLInputElement)[0]?.click();
    }
  });
  byId("people-no").addEventListener("click", () => {
    close();
    said("");
  });
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const chosen = new Map(findAll(form, "input:checked", HTMLInputElement).map(({ dataset, value }) => [Number(dataset.row), value]));
    const ids = [...chosen.values()].filter((value) => value && value !== "new");
    const twice = ids.find((id, i) => ids.indexOf(id) < i);
    const name = proposals.flatMap(({ found }) => found).find(({ record }) => record.id === twice)?.record.name;
    byId("people-wrong").textContent = twice ? say("team_two_rows", name) : "";
    if (!twice) write(chosen);
  });
  byId("took-back").addEventListener("click", async () => {
    try {
      const left = await store.takeBack();
      said("");
      byId("took-done").textContent = left.length ? say("team_taken_back_but", listed(left)) : say("team_taken_back");
    } catch (error) {
      byId("took-done").textContent = inWords(store.asTrouble(error));
    }
    await showTaken();
  });
  store.watch(showTaken);
  showTaken();
}
