// The address and the way back: no entry of this tab's history may show what "next lifter" cleared.

import { keepInTab, keptInTab } from "../shared/tab.mjs";

const COUNT = "lifter"; // which lifter of this tab it is: a number, nothing of theirs
let counted = 0;

const lifter = () => Number(keptInTab(COUNT) ?? counted);

function clear() {
  history.replaceState(null, "", location.pathname + location.search);
}

/** Takes an earlier lifter's link out of the history entry that the way back led to. */
export function dropEarlier() {
  if (history.state && history.state.lifter !== lifter()) clear();
}

/** Says whose this entry is; with `fragment` false a link goes out of its address. @param {{ fragment: boolean }} has */
export function mark({ fragment }) {
  history.replaceState({ lifter: lifter() }, "", location.pathname + location.search + (fragment ? location.hash : ""));
}

export function forget() {
  clear();
  counted = lifter() + 1;
  keepInTab(COUNT, counted);
}
