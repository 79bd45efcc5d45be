// All lifts of the lifter whose turn it is: what the tape says of the build, and a setup for each lift, on one page.

import { say } from "../../words.mjs";
import { startCalculator } from "../shared/calculator.mjs";
import { make, row, showText } from "../shared/element.mjs";
import { byId, find } from "../shared/find.mjs";
import { pageOf } from "../shared/lift.mjs";
import { nameOf } from "../shared/names.mjs";
import { numberOf } from "../shared/parts.mjs";
import { inThisLift, ofLift, tapeOf, today } from "../shared/record.mjs";
import { inWords, listed } from "../shared/said.mjs";
import * as store from "../shared/store.mjs";
import { svgOf } from "../shared/svg.mjs";

/** @type {Kept.Lifter | null} */
let record = null;

const client = startCalculator(/** @type {import("../shared/calculator.mjs").Settings<Core.ThreeQuestions>} */ ({
  kinds: ["build"],
  onResponse: (_, response) => { show(response); },
  beforeReload: () => {},
}));

/** @param {Core.SheetOfLift} lift */
function sectionOf({ key, name, missing, middle, setup }) {
  const id = `lift-${key}`;
  const way = make("a", { class: "as-button", href: pageOf(key) }, say("three_to_fit", name));
  const parts = [make("h2", { id }, name)];
  if (!setup) return make("section", { class: "panel", "aria-labelledby": id }, ...parts, make("p", missing), way);
  const { card, gain, rests } = setup;
  const drawing = make("div", { class: "three-drawing" });
  if (card.svg) drawing.append(svgOf(card.svg.replaceAll("card-title", `${id}-title`).replaceAll("card-desc", `${id}-desc`)));
  const lines = card.lines.map(({ label, value, text }) => make("div", make("dt", label), make("dd", value ? make("strong", value) : null, make("span", text))));
  return make("section", { class: "panel", "aria-labelledby": id }, ...parts, drawing, make("dl", ...lines), gain && make("p", make("strong", gain.decision), ` ${gain.text}`),
    middle && make("p", middle), rests.length > 0 && make("p", { class: "quiet" }, listed(rests)), way);
}

/** The cautions of lifts whose setup was never shown to this lifter stand before it, once. @param {string[]} keys */
function whenRead(keys, work = () => {}) {
  const unread = record ? keys.filter((key) => record && !ofLift(record, key).cautions_read) : [];
  byId("first").hidden = !unread.length;
  if (!unread.length) return work();
  byId("first-read").onclick = async () => {
    const changes = Object.fromEntries(unread.map((key) => [inThisLift("cautions_read", key), true]));
    const base = Object.fromEntries(Object.keys(changes).map((path) => [path, false]));
    if (record) record = await store.patch(record.id, base, changes).catch(() => record); // a full device: read all the same
    byId("first").hidden = true;
    work();
    byId("lifts").focus({ preventScroll: true });
  };
}

/** @param {Core.SheetOfLifts | Core.Refused} response */
function show(response) {
  if (!response.ok) return showText(byId("said"), inWords(response.errors[0]));
  showText(byId("said"), "");
  const { people, build, means, note, lifts } = response;
  byId("people").textContent = people;
  find(byId("build"), "tbody").replaceChildren(...build.map(({ label, value, text }) => row(label, value, text)));
  byId("means").replaceChildren(...means.map((text) => make("li", text)));
  byId("note").textContent = note;
  byId("build").hidden = false;
  whenRead(lifts.filter(({ setup }) => setup).map(({ key }) => key), () => {
    byId("lifts").replaceChildren(...lifts.map(sectionOf));
    byId("print", HTMLButtonElement).disabled = false;
  });
  return undefined;
}

/** The numbers of the tape with their names. @param {Kept.Tape} tape */
const inALine = ({ fields, unit }) => listed(Object.entries(fields).filter(([, text]) => text.trim()).map(([key, text]) => say("named", nameOf(key), numberOf(key, text, unit))));

async function begin() {
  await store.open();
  record = await store.read(await store.current()).catch(() => null);
  const tape = record && tapeOf(record);
  byId("whose").textContent = record?.name || say("three_guest");
  byId("date").textContent = today();
  if (!record || !tape || !inALine(tape)) return showText(byId("said"), say("three_none"));
  byId("tape").textContent = listed([inALine(tape), tape.date]);
  const own = Object.entries(record.lifts).map(([key, { choice, preference }]) => [key, { ...(choice ? { choice } : {}), ...(preference === null ? {} : { preference }) }]);
  client.ask("build", { unit: tape.unit, fields: { ...tape.fields }, ...tape.choices, want: "build/sheet", of: Object.fromEntries(own) });
  return undefined;
}

byId("print").addEventListener("click", () => print());
begin();
