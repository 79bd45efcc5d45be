// What a tab keeps for itself until it is closed. A browser may refuse any of it: then it lives as long as the page.

/** Of all that this site keeps anywhere; a host may share one origin among sites. */
export const HERE = `shortlever|${new URL("./", globalThis.location?.href ?? import.meta.url).pathname}`;

/** Works with the tab's storage; what `refused` says where it is closed or full. @template T @param {(tab: Storage) => T} work @param {(error: unknown) => T | null} [refused] */
export function inTab(work, refused = () => null) {
  try {
    return work(sessionStorage);
  } catch (error) {
    return refused(error);
  }
}

/** Nothing is left of what this tab kept, but for these names. @param {string[]} stays */
export function dropTab(stays) {
  inTab((tab) => {
    for (const key of Object.keys(tab)) {
      if (key.startsWith(`${HERE}|`) && !stays.includes(key.slice(HERE.length + 1))) tab.removeItem(key);
    }
    return true;
  });
}

/** What was kept under a name, or null. @param {string} name */
export function keptInTab(name) {
  return inTab((tab) => JSON.parse(tab.getItem(`${HERE}|${name}`) ?? "null"));
}

/** Keeps something under a name, null for nothing; whether it is kept now. @param {string} name @param {unknown} value */
export function keepInTab(name, value) {
  return Boolean(inTab((tab) => {
    if (value === null) tab.removeItem(`${HERE}|${name}`);
    else tab.setItem(`${HERE}|${name}`, JSON.stringify(value));
    return true;
  }));
}
