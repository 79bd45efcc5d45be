// Where typing is kept: in this tab's own history, so that a reload loses nothing; on the device only when asked.

const HERE = `shortlever|${new URL("./", location.href).pathname}`;
const KEY = `${HERE}|numbers`;
const COUNT = `${HERE}|lifter`; // which lifter of this tab it is: a number, nothing of theirs
let counted = 0;

function read() {
  try {
    return JSON.parse(localStorage.getItem(KEY));
  } catch {
    return null; // a closed storage, or one that something else wrote to
  }
}

function lifter() {
  try {
    return Number(sessionStorage.getItem(COUNT) ?? counted);
  } catch {
    return counted;
  }
}

/** Takes an earlier lifter's numbers out of the history entry that the way back led to, its address included. */
export function dropEarlier() {
  if (history.state?.typed && history.state.lifter !== lifter()) clear();
}

function clear() {
  history.replaceState(null, "", location.pathname + location.search);
}

/** What was kept: by this tab, else on this device, else nothing. */
export function kept() {
  dropEarlier();
  return history.state?.typed ? history.state : read();
}

export function isKeptOnDevice() {
  return read() !== null;
}

/** False when the device refused to keep it. */
export function keep(state, { onDevice, hash = location.hash }) {
  const address = location.pathname + location.search + hash;
  history.replaceState({ ...state, lifter: lifter() }, "", address);
  try {
    if (onDevice) localStorage.setItem(KEY, JSON.stringify(state));
    else localStorage.removeItem(KEY);
  } catch {
    return !onDevice;
  }
  return true;
}

export function forget() {
  clear();
  counted = lifter() + 1;
  try {
    sessionStorage.setItem(COUNT, counted);
    localStorage.removeItem(KEY);
  } catch { /* a closed storage holds nothing */ }
}
