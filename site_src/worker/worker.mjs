// Python's home: a module worker that fetches Python, wakes it, and answers one question at a time.
//
//   page → worker   {id, request}                      request: the JSON text for shortlever.view.answer
//   worker → page   {state: 'fetching', done, total}   bytes of the files as they lie there
//                   {state: 'waking'}
//                   {state: 'ready', milliseconds, boot, note}          the first suggestion is out; see below
//                   {state: 'failed', cause: {code, message, remedy, report}}   the first cause; no state comes after it
//                   {id, response}                     the JSON text of the answer
//
// The newest question wins: an older one that still waits gets no answer.
//
// Two boots. 'snapshot' puts back the memory of a Python that has the core imported and warm; it needs private parts of
// Pyodide. When anything about it fails, 'plain' starts Python afresh, with public parts only; `note` then says why,
// and the states begin again at fetching, for the standard library and the core.
import { core, runtime, snapshot } from './files.mjs';
import { unpack } from './snapshot.mjs';

const started = performance.now();
const here = (/** @type {string} */ path) => new URL(path, import.meta.url).href;
const files = [runtime, core, snapshot].flatMap(({ base, files: listed }) =>
  Object.entries(listed).map(([name, { bytes }]) => ({ name, bytes, url: here(base + name) })),
);
const isZip = (/** @type {{ name: string }} */ { name }) => name.includes('.zip'); // only the plain boot reads these
/** @param {string} name */
function fileNamed(name) {
  const found = files.find((file) => file.name === name);
  if (!found) throw new Error(`the build has left out ${name}`);
  return found;
}

// ---- states

/** @type {Wire.State["state"]} */
let state = 'fetching';

/** @param {Wire.State["state"]} next */
function enter(next, details = {}) {
  if (state === 'failed') return;
  state = next;
  self.postMessage({ state, ...details });
}

// Something a person can do something about.
class Trouble extends Error {
  /** @param {string} code @param {string} message @param {string} remedy */
  constructor(code, message, remedy) {
    super(message);
    this.code = code;
    this.remedy = remedy;
  }
}

/** @param {Wire.Cause} cause */
function fail({ code, message, remedy, report }) {
  enter('failed', { cause: { code, message, remedy, report } });
}

/** @param {unknown} error */
function startFailed(error) {
  if (state === 'ready') return;
  const report = reportOf(error, true);
  const message = `The calculator did not start (${lastLine(error)}).`;
  const remedy = 'Try again; if it stays so, reload the page.';
  fail(error instanceof Trouble ? { ...error, message: error.message, report } : { code: 'start_failed', message, remedy, report });
}

/** @param {unknown} value @returns {value is object} */
const isObject = (value) => typeof value === 'object' && value !== null;

/** What an error says in its end, without the name of its class. @param {unknown} error */
function lastLine(error) {
  const lines = String(isObject(error) && 'message' in error ? error.message : error).trim().split('\n');
  return lines[lines.length - 1].replace(/^[\w.]+: /, '').replace(/\.$/, '');
}

const OF_JAVASCRIPT = /^\s*(?:at (?:async )?)?([\w.$<>]*)[@ (]*https?:\/\/\S*\/([\w.-]+:\d+):\d+\)?$/;
const OF_PYTHON = /^ {2}File "\/?(?:lib\/)?([\w./-]+)", line (\w+), in ([\w.<>]+)$/;

const isPythons = (/** @type {unknown} */ error) => isObject(error) && 'name' in error && error.name === 'PythonError';

/**
 * What an error is and where it arose. What it says only where nothing typed was at hand, and never in Python's words: they may hold it.
 * @param {unknown} error @param {boolean} [says] @returns {Wire.Report}
 */
function reportOf(error, says = false) {
  if (!isObject(error)) return { kind: typeof error, where: [] };
  const { code, type, name, stack } = /** @type {{ [part: string]: unknown }} */ (error);
  const kinds = [name, type, error instanceof Trouble ? code : ''].filter(Boolean).join(' ');
  const kind = says && !isPythons(error) ? `${kinds}: ${lastLine(error)}` : kinds;
  const where = String(stack ?? '').split('\n').flatMap((line) => {
    const python = OF_PYTHON.exec(line);
    if (python) return [`${python[3]} (${python[1]}:${python[2]})`];
    const script = OF_JAVASCRIPT.exec(line);
    return script ? [`${script[1] || '(module)'} (${script[2]})`] : [];
  });
  return { kind, where };
}

// ---- fetching: every file once, all at the same time, counted and checked while its bytes stream past

let total = files.filter((file) => !isZip(file)).reduce((sum, { bytes }) => sum + bytes, 0);
let done = 0;
let told = 0;

/** @param {number} bytes */
function count(bytes) {
  done += bytes;
  const now = performance.now();
  if (state === 'fetching' && (done >= total || now - told > 80)) {
    told = now;
    enter('fetching', { done, total });
    if (done >= total) enter('waking');
  }
}

const GZIP = [0x1f, 0x8b];
const fetchPlainly = self.fetch.bind(self);
/** @type {Map<string, Trouble>} */
const damages = new Map(); // by name

/** @param {string} name */
async function download(name) {
  const { url, bytes } = fileNamed(name);
  let response;
  try {
    response = await fetchPlainly(url);
  } catch {
    throw new Trouble('unreachable', `${name} could not be fetched.`, 'Connect to the network, then try again.');
  }
  if (!response.ok) {
    const message = `${name} is not there (the server answered ${response.status}).`;
    throw new Trouble('missing_file', message, 'Try again later.');
  }
  const damaged = (/** @type {string} */ what) => {
    const damage = new Trouble('damaged_file', `${name} did not arrive whole: ${what}.`, 'Check the connection, then try again.');
    damages.set(name, damage);
    return damage;
  };
  const magic = name.endsWith('.packed') ? GZIP : [];
  let seen = 0;
  /** @type {TransformStream<Uint8Array<ArrayBuffer>, Uint8Array<ArrayBuffer>>} */
  const checking = new TransformStream({
    transform(chunk, out) {
      for (let i = seen; i < magic.length && i < seen + chunk.length; i++) {
        if (chunk[i - seen] !== magic[i]) throw damaged('it is another kind of file');
      }
      seen += chunk.length;
      if (seen > bytes) throw damaged(`more than ${bytes} bytes`);
      count(chunk.length);
      out.enqueue(chunk);
    },
    flush() {
      if (seen !== bytes) throw damaged(`${seen} of ${bytes} bytes`);
    },
  });
  if (!response.body) throw damaged(`0 of ${bytes} bytes`);
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
    throw new Trouble('missing_file', `${name} could not be loaded.`, 'Check the connection, then try again.');
  }
}

const fetchPacked = (/** @type {string} */ name) => explained(`${name}.packed`, whole(opened(name)));

const parts = {
  loader: /** @type {Promise<{ loadPyodide: Python.Load }>} */ (load('pyodide.mjs')),
  maker: /** @type {Promise<{ default: Python.Make }>} */ (load('pyodide.asm.mjs')),
  wasm: explained('pyodide.asm.wasm.packed', compile('pyodide.asm.wasm')),
  lock: explained('pyodide-lock.json', whole(download('pyodide-lock.json'))),
  snapshot: fetchPacked('python.snapshot').then(unpack),
};
for (const part of Object.values(parts)) part.catch(() => {}); // whoever needs it will see

// ---- waking

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

async function startFromSnapshot() {
  return startPyodide({ 'python_stdlib.zip': EMPTY_ZIP }, {
    _loadSnapshot: parts.snapshot.then((one) => one.snapshot),
    createPyodideModule: async (/** @type {object} */ settings) => {
      const module = await (await parts.maker).default(settings);
      (await parts.snapshot).complete(module.HEAPU8);
      return module;
    },
  });
}

async function startPlainly() {
  await Promise.all([parts.loader, parts.maker, parts.wasm]); // without these nothing else is worth fetching
  const zips = files.filter(isZip);
  total = done + zips.reduce((sum, { bytes }) => sum + bytes, 0);
  enter('fetching', { done, total });
  const [library, archive] = await Promise.all(['python_stdlib.zip', 'shortlever.zip'].map(fetchPacked));
  enter('waking');
  const pyodide = await startPyodide({ 'python_stdlib.zip': library });
  pyodide.FS.writeFile('/shortlever.zip', archive);
  pyodide.pyimport('sys').path.append('/shortlever.zip');
  return pyodide;
}

/**
 * The core's answer(), once it has worked a setup out: for the question that waits already, else for the example.
 * @param {Python.Pyodide} pyodide @returns {(request: string) => string}
 */
function prove(pyodide) {
  pyodide.pyimport('random').seed();
  const view = pyodide.pyimport('shortlever.view');
  const example = () => pyodide.pyimport('json').dumps(view.example_request());
  for (const request of [() => newest?.request, example]) {
    const text = request();
    if (text === undefined) continue;
    const response = view.answer(String(text));
    if (!JSON.parse(response).ok) continue;
    first = { request: text, response };
    return view.answer;
  }
  throw new Error('the example got no result');
}

/** @type {((request: string) => string) | null} */
let answer = null; // Python's own function, once it is awake
/** @type {{ request: string, response: string } | null} */
let first = null; // what it has answered before it was ready

/** The plain boot failed after the snapshot had: what to tell. @param {unknown} error of the snapshot @param {unknown} other */
function neither(error, other) {
  if (other === error || !(other instanceof Trouble) || other.code !== 'unreachable') return other;
  const why = isPythons(error) ? 'an error inside it' : lastLine(error);
  const both = `Python did not start from its copy here (${why}), and the other way to start is not kept on this device yet.`;
  const trouble = new Trouble('unreachable', both, 'Connect to the network once, then try again.');
  if (isObject(error) && 'stack' in error) trouble.stack = String(error.stack); // the first cause
  return trouble;
}

async function wake() {
  let boot = 'snapshot';
  let note = null;
  try {
    answer = prove(await startFromSnapshot());
  } catch (error) {
    boot = 'plain';
    note = lastLine(error);
    answer = prove(await startPlainly().catch((other) => { throw neither(error, other); }));
  }
  enter('ready', { milliseconds: Math.round(performance.now() - started), boot, note });
  answerNewest();
}

// ---- answering

/** @type {Wire.Asked | null} */
let newest = null; // the question to answer next
const turn = new MessageChannel(); // lets questions that have already arrived overtake

function answerNewest() {
  if (!answer || !newest) return;
  const { id, request } = newest;
  newest = null;
  let response;
  let death = null; // Python does not live on after some errors, such as too deep a recursion
  try {
    response = request === first?.request ? first.response : answer(String(request));
  } catch (error) {
    const report = reportOf(error);
    const problem = {
      field: null, code: 'internal', given: '', message: `The calculation stopped (${lastLine(error)}).`,
      remedy: 'Your numbers are kept. Change one, then try again.',
    };
    response = JSON.stringify({ ok: false, errors: [problem], warnings: [], reading: {}, report });
    if (isObject(error) && 'pyodide_fatal_error' in error && error.pyodide_fatal_error) death = report;
  }
  self.postMessage({ id, response });
  if (death) {
    answer = null;
    fail({ code: 'stopped', message: 'The calculator has stopped.', remedy: 'Your numbers are kept. Try again.', report: death });
  }
}

turn.port1.onmessage = answerNewest;
self.onmessage = ({ data }) => {
  newest = data;
  turn.port2.postMessage(null);
};

enter('fetching', { done, total });
wake().catch(startFailed);
