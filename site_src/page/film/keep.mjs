// What this tab keeps of the film check: what was typed, and the marks on the last clip. Never a picture.

const KEY = `shortlever|${new URL("./", location.href).pathname}|film`;

export function keepInTab(state) {
  try {
    sessionStorage.setItem(KEY, JSON.stringify(state));
  } catch {
    // the browser refuses: then nothing outlives a reload
  }
}

export function keptInTab() {
  try {
    return JSON.parse(sessionStorage.getItem(KEY));
  } catch {
    return null;
  }
}
