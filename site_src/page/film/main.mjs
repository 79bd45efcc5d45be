// The screen of the film check: open, mark, follow, read. The picture never leaves the device and is never kept.

import { startCalculator } from "../shared/calculator.mjs";
import { byId } from "../shared/find.mjs";
import { GUEST, tapeOf } from "../shared/record.mjs";
import * as store from "../shared/store.mjs";
import { About } from "./about.mjs";
import { Asking } from "./asking.mjs";
import { Attach } from "./attach.mjs";
import { Following } from "./following.mjs";
import { keepInTab, keptInTab, printOf } from "./keep.mjs";
import { readKinds } from "./kinds.mjs";
import { Marking } from "./marking.mjs";
import { Measuring } from "./measuring.mjs";
import { Opening } from "./opening.mjs";
import { Picture } from "./picture.mjs";
import { Stage } from "./stage.mjs";
import { State } from "./state.mjs";
import { tellNext } from "./tell.mjs";

const KEEP_REST_MS = 500;

const film = new State(readKinds());
const video = byId("video", HTMLVideoElement);

const client = startCalculator(/** @type {import("../shared/calculator.mjs").Settings<Core.FilmQuestions>} */ ({
  kinds: ["measure", "moments", "sets"],
  onResponse: (...answered) => {
    const [what, response] = answered;
    if (what === "measure") measuring.onMeasured(response);
    else if (what === "moments") asking.onMoments(response);
    else attach.onSets(response);
  },
  onAwake: (awake) => measuring.onAwake(awake),
  beforeReload: keep,
}));

const about = new About(byId("about"), () => film.changed());
const attach = new Attach(client);
const measuring = new Measuring(film, client, about, attach);
const stage = new Stage({
  onTap: (point) => marking.onTap(point),
  onMove: (dx, dy, start) => marking.onMove(dx, dy, start),
  onSize: (dx) => marking.onSize(dx),
  onKey: (event) => marking.onKey(event),
});
const picture = new Picture(film, stage, video);
const marking = new Marking(film, stage, picture);
const asking = new Asking(film, client, about, { picture, marking });
const following = new Following(film, stage, picture, marking, () => client.drop("measure"));
new Opening(film, video, { picture, marking, following });
film.onChange(() => tellNext(film));

// ---- what outlives a reload of this tab: what was typed and marked, never the clip

let keeping = 0;
film.onChange(() => {
  clearTimeout(keeping);
  keeping = setTimeout(keep, KEEP_REST_MS);
});

function keep() {
  const { clip, marks, at } = film;
  keepInTab({ ...(clip ? { file: printOf(clip.file), marks: marks.all, at } : keptInTab()), about: about.typed() });
}
document.addEventListener("visibilitychange", keep);
about.restore(keptInTab()?.about);

// ---- whose plan it is compared with

async function whose() {
  await store.open();
  film.record = await store.read(await store.current()).catch(() => store.read(GUEST));
  const tape = tapeOf(film.record);
  if (tape) about.suggestUnit(tape.unit);
  measuring.measure();
}
store.watch((id) => { if (!id || id === film.record?.id) whose(); });
whose();
