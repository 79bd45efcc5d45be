// Fetching: every file once, all at the same time, counted and checked while its bytes stream past.

import { core, runtime, snapshot } from './files.mjs';
import { unpack } from './snapshot.mjs';
import { enter, stateNow } from './states.mjs';
import { Trouble } from './trouble.mjs';

export const here = (/** @type {string} */ path) => new URL(path, import.meta.url).href;
const files = [runtime, core, snapshot].flatMap(({ base, files: listed }) =>
  Object.entries(listed).map(([name, { bytes }]) => ({ name, bytes, url: here(base + name) })),
);
const isOfLifts = (/** @type {{ name: string }} */ { name }) => name.startsWith('lifts.zip'); // beside the snapshot, once one is asked for
const isZip = (/** @type {{ name: string }} */ file) => file.name.includes('.zip') && !isOfLifts(file); // only the plain boot reads these
export const asksForLifts = self.name !== ''; // the page is of a lift that is not in the snapshot
const sizeOf = (/** @type {{ bytes: number }[]} */ some) => some.reduce((sum, { bytes }) => sum + bytes, 0);
/** @param {string} name */
function fileNamed(name) {
  const found = files.find((file) => file.name === name);
  if (!found) throw new Error(`the build has left out ${name}`);
  return found;
}

const progress = { done: 0, total: sizeOf(files.filter((file) => !isZip(file) && (asksForLifts || !isOfLifts(file)))), told: 0 }; // in bytes; when it was last told

export const tellProgress = () => enter('fetching', { done: progress.done, total: progress.total });

/** @param {number} bytes */
function count(bytes) {
  progress.done += bytes;
  const now = performance.now();
  const all = progress.done >= progress.total;
  if (stateNow() !== 'fetching' || !(all || now - progress.told > 80)) return;
  progress.told = now;
  tellProgress();
  if (all) enter('waking');
}

const GZIP = [0x1f, 0x8b];
export const fetchPlainly = self.fetch.bind(self);
/** @type {Map<string, Trouble>} */
const damages = new Map(); // by name

/** @param {string} name */
async function download(name) {
  const { url, bytes } = fileNamed(name);
  let response;
  try {
    response = await fetchPlainly(url);
  } catch {
    throw new Trouble('unreachable', 'unreachable', name);
  }
  if (!response.ok) throw new Trouble('missing_file', 'not_there', name, String(response.status));
  const damaged = (/** @type {string} */ said, /** @type {number[]} */ ...numbers) => {
    const damage = new Trouble('damaged_file', said, name, ...numbers.map(String));
    damages.set(name, damage);
    return damage;
  };
  const magic = name.endsWith('.packed') ? GZIP : [];
  let seen = 0;
  /** @type {TransformStream<Uint8Array<ArrayBuffer>, Uint8Array<ArrayBuffer>>} */
  const checking = new TransformStream({
    transform(chunk, out) {
      for (let i = seen; i < magic.length && i < seen + chunk.length; i++) {
        if (chunk[i - seen] !== magic[i]) throw damaged('other_kind');
      }
      seen += chunk.length;
      if (seen > bytes) throw damaged('too_long', bytes);
      count(chunk.length);
      out.enqueue(chunk);
    },
    flush() {
      if (seen !== bytes) throw damaged('cut', seen, bytes);
    },
  });
  if (!response.body) throw damaged('cut', 0, bytes);
  return response.body.pipeThrough(checking);
}

/** The browser hides what went wrong in an error of its own. @template T @param {string} name @param {Promise<T>} promise */
const explained = (name, promise) =>
  promise.catch((error) => {
    throw damages.get(name) ?? error;
  });

/** @param {Promise<ReadableStream<Uint8Array<ArrayBuffer>>>} stream */
async function whole(stream) {
  return new Uint8Array(await new Response(await stream).arrayBuffer());
}

const opened = async (/** @type {string} */ name) => (await download(`${name}.packed`)).pipeThrough(new DecompressionStream('gzip'));

/** @param {string} name */
async function compile(name) {
  const response = opened(name).then((stream) => new Response(stream, { headers: { 'Content-Type': 'application/wasm' } }));
  return WebAssembly.compileStreaming(response);
}

/** A module of Pyodide's own. @template M @param {string} name @returns {Promise<M>} */
async function load(name) {
  const { url, bytes } = fileNamed(name);
  try {
    const module = await import(url);
    count(bytes);
    return module;
  } catch {
    throw new Trouble('missing_file', 'not_loaded', name);
  }
}

const fetchPacked = (/** @type {string} */ name) => explained(`${name}.packed`, whole(opened(name)));

export const parts = {
  loader: /** @type {Promise<{ loadPyodide: Python.Load }>} */ (load('pyodide.mjs')),
  maker: /** @type {Promise<{ default: Python.Make }>} */ (load('pyodide.asm.mjs')),
  wasm: explained('pyodide.asm.wasm.packed', compile('pyodide.asm.wasm')),
  lock: explained('pyodide-lock.json', whole(download('pyodide-lock.json'))),
  snapshot: fetchPacked('python.snapshot').then(unpack),
};
for (const part of Object.values(parts)) part.catch(() => {}); // whoever needs it will see

/** @type {Promise<Uint8Array<ArrayBuffer>> | null} */
let lifts = null;

/** What the lifts need that are not in the snapshot; fetched once, and again where that failed. */
export function fetchLifts() {
  lifts ??= fetchPacked('lifts.zip').catch((error) => {
    lifts = null;
    throw error instanceof Trouble && error.code === 'unreachable' ? new Trouble('unreachable', 'lift_away') : error;
  });
  return lifts;
}
if (asksForLifts) fetchLifts().catch(() => {}); // whoever needs it will see

/** The standard library and the core, which only the plain boot reads. */
export function fetchZips() {
  progress.total = progress.done + sizeOf(files.filter(isZip));
  tellProgress();
  return Promise.all(['python_stdlib.zip', 'shortlever.zip'].map(fetchPacked));
}
