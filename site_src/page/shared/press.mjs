// Nothing moves under a finger: what would move a button to another place waits while one is being pressed.

import { around } from "./find.mjs";

const TARGETS = "button, a, label, summary, select, textarea, input:not([type=range])";
const LONGEST_MS = 800; // a longer press is no tap
const CLICK_MS = 300; // how long after the finger is up its click may come

export const TWICE_MS = 500; // a second tap within it is the same tap

/** @type {(() => void)[]} */
const waiting = [];
let pressed = false;
/** @type {number | undefined} */
let ending;

function end() {
  clearTimeout(ending);
  pressed = false;
  for (const go of waiting.splice(0)) go();
}

/** @param {number} time */
function endAfter(time) {
  clearTimeout(ending);
  ending = setTimeout(end, time);
}

addEventListener("pointerdown", (event) => {
  if (!around(event, TARGETS)) return;
  pressed = true;
  endAfter(LONGEST_MS);
}, true);
addEventListener("pointerup", () => { if (pressed) endAfter(CLICK_MS); }, true);
addEventListener("click", () => { if (pressed) endAfter(0); }, true); // after all that the click does
addEventListener("pointercancel", end, true); // it became a scroll

/** A promise for the moment when no button is being pressed: now, or once this tap is over. @returns {Promise<void>} */
export function still() {
  return pressed ? new Promise((resolve) => { waiting.push(resolve); }) : Promise.resolve();
}
