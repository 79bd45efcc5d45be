// The rack card: the whole screen, read from two metres, awake as long as it is open.

import { say } from "../../words.mjs";
import { fillList, make } from "../shared/element.mjs";
import { byId, find } from "../shared/find.mjs";
import { nameOf } from "../shared/names.mjs";
import { today } from "../shared/record.mjs";
import { listed } from "../shared/said.mjs";
import { svgOf } from "../shared/svg.mjs";

const dialog = byId("rack", HTMLDialogElement);
/** @type {{ lock: WakeLockSentinel | null }} */
const screen = { lock: null };

async function stayAwake() {
  try {
    const lock = await navigator.wakeLock.request("screen");
    if (!dialog.open) return void lock.release();
    screen.lock = lock;
  } catch { /* no such thing here, or refused: the card is there all the same */ }
}

/** What stands on it; null where there is nothing to show. @param {Core.Card | null} card @param {string[]} rests @param {string} whose */
export function showCard(card, rests, whose) {
  byId("rack-open").hidden = !card;
  if (!card) {
    dialog.close();
    return;
  }
  find(dialog, '[data-part="whose"]').textContent = whose;
  for (const place of [find(dialog, '[data-part="bar"]'), byId("card-drawing")]) place.replaceChildren(...(card.svg ? [svgOf(card.svg)] : []));
  for (const named of byId("card-drawing").querySelectorAll("[id], [aria-labelledby]")) { // its twin on the rack card is named
    named.removeAttribute("id");
    named.removeAttribute("aria-labelledby");
  }
  fillList(find(dialog, "dl"), card.lines, ({ label, value, text }) => make("div", make("dt", label), make("dd", make("strong", value), make("span", text))));
  fillList(find(dialog, ".rests"), rests, (text) => make("li", text));
}

/** What the printed card was worked out from: the day, the tape, the settings. @param {import("./form.mjs").TapeForm} form @param {Kept.Texts} reading */
export function fillCard({ choices }, reading) {
  byId("card-date").textContent = today();
  byId("card-tape").textContent = listed(Object.entries(reading).map(([key, text]) => say("named", nameOf(key), text)));
  byId("card-settings").textContent = listed(choices.map(({ key, value }) => say("labelled", nameOf(key), nameOf(`${key}/${value}`))));
}

export function listenToCard() {
  byId("rack-open").addEventListener("click", () => {
    dialog.showModal();
    dialog.scrollTop = 0;
    stayAwake();
  });
  find(dialog, "button").addEventListener("click", () => dialog.close());
  dialog.addEventListener("close", () => {
    screen.lock?.release();
    screen.lock = null;
  });
  document.addEventListener("visibilitychange", () => { if (dialog.open && document.visibilityState === "visible") stayAwake(); });
}

/** Whose card it is. @param {string} name @param {boolean} example */
export const whoseCard = (name, example) => (example ? say("example") : name || say("own"));
