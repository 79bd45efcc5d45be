// What this tab keeps of the film check: what was typed, and the marks on the last clip. Never a picture.

const KEY = `shortlever|${new URL("./", location.href).pathname}|film`;

/** False where the browser refuses. */
export function keepInTab(state) {
  try {
    sessionStorage.setItem(KEY, JSON.stringify(state));
    return true;
  } catch {
    return false;
  }
}

export function keptInTab() {
  try {
    return JSON.parse(sessionStorage.getItem(KEY));
  } catch {
    return null;
  }
}
