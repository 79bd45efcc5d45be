// The address and the way back: no entry of this tab's history may show what "next lifter" cleared.

import { nextTurn, turn } from "../shared/turn.mjs";

function clear() {
  history.replaceState(null, "", location.pathname + location.search);
}

/** Takes an earlier lifter's link out of the history entry that the way back led to. */
export function dropEarlier() {
  if (history.state && history.state.lifter !== turn()) clear();
}

/** Says whose this entry is; with `fragment` false a link goes out of its address. @param {{ fragment: boolean }} has */
export function mark({ fragment }) {
  history.replaceState({ lifter: turn() }, "", location.pathname + location.search + (fragment ? location.hash : ""));
}

export function forget() {
  clear();
  nextTurn();
}
