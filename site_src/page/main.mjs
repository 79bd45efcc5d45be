// Wires the form, the Python worker and the picture together.

import { TapeForm } from "./form.mjs";
import { Loading } from "./loading.mjs";
import { goOffline } from "./offline.mjs";
import { age, render, showAge } from "./render.mjs";
import { WorkerClient } from "./worker-client.mjs";

const TYPING_REST_MS = 120;
const KEEP_REST_MS = 500; // browsers limit how often the history may be written
const WAITING = "yours are kept, and follow when ready";

let rest;
let keeping;
let awake = false;
let settled = false;
let shownFrom; // whose numbers made the result on the screen

const form = new TapeForm(document.querySelector("#tape"), () => {
  clearTimeout(rest);
  clearTimeout(keeping);
  rest = setTimeout(ask, TYPING_REST_MS);
  keeping = setTimeout(keepTyped, KEEP_REST_MS);
});
const loading = new Loading(() => {
  loading.show({ state: "fetching", done: 0, total: 0 });
  client.start();
});
const client = new WorkerClient(new URL("../worker/worker.mjs", import.meta.url), { onState, onResponse });

/** So that a reload loses nothing: what was typed rides along in this tab's own history, and is kept nowhere else. */
function keepTyped() {
  history.replaceState({ typed: form.save() }, "");
}

function ask() {
  const own = !form.isEmpty() || age() !== "example";
  client.ask(JSON.stringify(own ? form.request() : form.exampleRequest()));
  if (own && !awake) showAge(age(), WAITING);
}

function source(response) {
  return form.fields.map((field) => response.reading[field.key]).filter(Boolean).map((text) => text.replaceAll(" ", "\u00a0")).join(", ");
}

function onResponse(response) {
  const example = form.isEmpty() && age() === "example";
  if (!example) form.showVerdicts(response);
  if (response.ok) {
    shownFrom = (example ? "an invented lifter: " : "") + source(response);
    render(response, { age: example ? "example" : "own", from: shownFrom });
  } else showAge(age() === "example" ? "example" : "old", shownFrom);
}

function onState(message) {
  awake = message.state === "ready";
  loading.show(message);
  const failedAgain = message.state === "failed" && navigator.serviceWorker?.controller; // a newer version may mend it
  if (settled || !(awake || failedAgain)) return;
  settled = true; // only now: the install must not compete with the start of Python
  goOffline({ complete: () => loading.offlineIsComplete(), beforeReload: keepTyped });
}

if (history.state?.typed) form.restore(history.state.typed);
addEventListener("hashchange", keepTyped);
document.addEventListener("visibilitychange", keepTyped);
if (!form.isEmpty() || form.unit !== "cm") ask();
requestAnimationFrame(() => setTimeout(() => client.start())); // after the first paint
