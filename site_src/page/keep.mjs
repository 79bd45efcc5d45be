// Where typing is kept: in this tab's own history, so that a reload loses nothing; on the device only when asked.

const KEY = `shortlever|${new URL("./", location.href).pathname}|numbers`;

function read() {
  try {
    return JSON.parse(localStorage.getItem(KEY));
  } catch {
    return null; // a closed storage, or one that something else wrote to
  }
}

/** What was kept: by this tab, else on this device, else nothing. */
export function kept() {
  return history.state?.typed ? history.state : read();
}

export function isKeptOnDevice() {
  return read() !== null;
}

/** False when the device refused to keep it. */
export function keep(state, { onDevice, hash = location.hash }) {
  const address = location.pathname + location.search + hash;
  history.replaceState(state, "", address);
  try {
    if (onDevice) localStorage.setItem(KEY, JSON.stringify(state));
    else localStorage.removeItem(KEY);
  } catch {
    return !onDevice;
  }
  return true;
}

export function forget() {
  history.replaceState(null, "", location.pathname + location.search);
  try {
    localStorage.removeItem(KEY);
  } catch { /* a closed storage holds nothing */ }
}
