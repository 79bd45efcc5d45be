// The states of the worker, told to the page as they come; after a failure none comes any more.

/** @type {Wire.State["state"]} */
let state = 'fetching';

export const stateNow = () => state;

/** @param {Wire.State["state"]} next */
export function enter(next, details = {}) {
  if (state === 'failed') return;
  state = next;
  self.postMessage({ state, ...details });
}

/** @param {Wire.Failure} cause */
export const fail = (cause) => enter('failed', { cause });
