// The address and the way back: no entry of this tab's history may show what "next lifter" cleared.

const COUNT = `shortlever|${new URL("./", location.href).pathname}|lifter`; // which lifter of this tab it is: a number, nothing of theirs
let counted = 0;

function lifter() {
  try {
    return Number(sessionStorage.getItem(COUNT) ?? counted);
  } catch {
    return counted;
  }
}

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
  try {
    sessionStorage.setItem(COUNT, String(counted));
  } catch { /* a closed storage holds nothing */ }
}
