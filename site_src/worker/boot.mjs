// Two boots. 'snapshot' puts back the memory of a Python that has the core imported and warm; it needs private parts of
// Pyodide. 'plain' starts Python afresh, with public parts only.

import { asksForLifts, fetchLifts, fetchPlainly, fetchZips, here, parts } from './fetching.mjs';
import { runtime, snapshot } from './files.mjs';
import { enter } from './states.mjs';

// Pyodide asks by itself for the files beside it: it gets those that are here already.
/** @type {Map<string, string | Uint8Array<ArrayBuffer>>} */
const handed = new Map(); // by address
self.fetch = async (input, options) => {
  const url = new URL(input instanceof Request ? input.url : input, self.location.href).href;
  return handed.has(url) ? new Response(handed.get(url)) : fetchPlainly(input, options);
};

// Both boots use the one compiled module. Pyodide only logs a failure here and then waits for ever.
/** @type {(error: unknown) => void} */
let giveUp;
WebAssembly.instantiateStreaming = async (/** @type {unknown} */ _, /** @type {WebAssembly.Imports | undefined} */ imports) => {
  try {
    const module = await parts.wasm;
    return { module, instance: await WebAssembly.instantiate(module, imports) };
  } catch (error) {
    giveUp(error);
    throw error;
  }
};

/** @param {{ [name: string]: string | Uint8Array<ArrayBuffer> }} library @param {object} [settings] @returns {Promise<Python.Pyodide>} */
async function startPyodide(library, settings) {
  const [{ loadPyodide }, lock] = await Promise.all([parts.loader, parts.lock]);
  for (const [name, bytes] of Object.entries({ ...library, 'pyodide.asm.wasm': '', 'pyodide-lock.json': lock })) {
    handed.set(here(runtime.base + name), bytes);
  }
  /** @type {Promise<never>} */
  const failing = new Promise((_, reject) => {
    giveUp = reject;
  });
  return Promise.race([loadPyodide({ indexURL: here(runtime.base), ...settings }), failing]);
}

const EMPTY_ZIP = Uint8Array.of(0x50, 0x4b, 0x05, 0x06, ...new Array(18).fill(0));

const CORE = '/shortlever.zip'; // where the core was when the snapshot was taken: Python looks there for what it has not imported

/** Puts what the other lifts need beside a core that came from the snapshot, and opens one. @param {Python.Pyodide} pyodide */
export async function bringLifts(pyodide, lift = self.name) {
  pyodide.FS.writeFile(CORE, await fetchLifts());
  pyodide.pyimport('sys').path_importer_cache.clear(); // it holds that nothing is there
  pyodide.pyimport('shortlever.lifts').LIFTS.get(lift); // raises where the file is damaged inside
}

export async function startFromSnapshot() {
  const head = new Uint8Array(snapshot.head); // Pyodide reads it once the module is there
  const pyodide = await startPyodide({ 'python_stdlib.zip': EMPTY_ZIP }, {
    _loadSnapshot: head,
    createPyodideModule: async (/** @type {object} */ settings) => { // while the snapshot is still on its way
      const module = await (await parts.maker).default(Object.assign(settings, { INITIAL_MEMORY: snapshot.memory }));
      (await parts.snapshot)(module, head);
      return module;
    },
  });
  if (asksForLifts) await bringLifts(pyodide);
  return pyodide;
}

export async function startPlainly() {
  await Promise.all([parts.loader, parts.maker, parts.wasm]); // without these nothing else is worth fetching
  const [library, archive] = await fetchZips();
  enter('waking');
  const pyodide = await startPyodide({ 'python_stdlib.zip': library });
  pyodide.FS.writeFile(CORE, archive);
  pyodide.pyimport('sys').path.append(CORE);
  return pyodide;
}
