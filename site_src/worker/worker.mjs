// Python's home: a module worker that fetches Python, wakes it, and answers one question at a time.
//
//   page → worker   {id, request}                      request: the JSON text for shortlever.view.answer
//   worker → page   {state: 'fetching', done, total}   bytes, unzipped
//                   {state: 'waking'}
//                   {state: 'ready', milliseconds}
//                   {state: 'failed', cause: {code, message, remedy}}   the first cause; no state comes after it
//                   {id, response}                     the JSON text of the answer
//
// The newest question wins: an older one that still waits gets no answer.
import { core, runtime } from './files.mjs';

const started = performance.now();
const here = (path) => new URL(path, import.meta.url).href;
const files = [runtime, core].flatMap(({ base, files }) =>
  Object.entries(files).map(([name, { bytes }]) => ({ name, bytes, url: here(base + name) })),
);

// ---- states

let state = 'fetching';

function enter(next, details = {}) {
  if (state === 'failed') return;
  state = next;
  self.postMessage({ state, ...details });
}

function fail(code, message, remedy) {
  enter('failed', { cause: { code, message, remedy } });
}

self.addEventListener('unhandledrejection', (event) => {
  event.preventDefault();
  startFailed(event.reason);
});

function startFailed(error) {
  if (state === 'ready') return;
  fail('start_failed', `The calculator did not start (${lastLine(error)}).`, 'Try again; if it stays so, reload the page.');
}

// What an error says in its end, without the name of its class.
function lastLine(error) {
  return String(error?.message ?? error).trim().split('\n').at(-1).replace(/^[\w.]+: /, '').replace(/\.$/, '');
}

// ---- fetching: every file once, all at the same time, counted and checked while its bytes stream past

const total = files.reduce((sum, { bytes }) => sum + bytes, 0);
let done = 0;
let told = 0;

function count(bytes) {
  done += bytes;
  const now = performance.now();
  if (state === 'fetching' && (done >= total || now - told > 80)) {
    told = now;
    enter('fetching', { done, total });
    if (done >= total) enter('waking');
  }
}

const MAGIC = { wasm: [0x00, 0x61, 0x73, 0x6d], zip: [0x50, 0x4b, 0x03, 0x04] };
const fetchPlainly = self.fetch.bind(self);

async function download({ name, bytes, url }) {
  let response;
  try {
    response = await fetchPlainly(url);
  } catch (error) {
    fail('unreachable', `${name} could not be fetched.`, 'Connect to the network, then try again.');
    throw error;
  }
  if (!response.ok) {
    fail('missing_file', `${name} is not there (the server answered ${response.status}).`, 'Try again later.');
    throw new Error(name);
  }
  const damaged = (what) => {
    fail('damaged_file', `${name} did not arrive whole: ${what}.`, 'Check the connection, then try again.');
    return new Error(name);
  };
  const magic = MAGIC[name.split('.').at(-1)] ?? [];
  let seen = 0;
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
  const type = response.headers.get('Content-Type') ?? '';
  return new Response(response.body.pipeThrough(checking), { headers: { 'Content-Type': type } });
}

async function load(name) {
  const { url, bytes } = files.find((file) => file.name === name);
  try {
    const module = await import(url);
    count(bytes);
    return module;
  } catch (error) {
    fail('missing_file', `${name} could not be loaded.`, 'Check the connection, then try again.');
    throw error;
  }
}

const isModule = ({ name }) => name.endsWith('.mjs');
const downloads = new Map(files.filter((file) => !isModule(file)).map((file) => [file.url, download(file)]));
for (const download of downloads.values()) download.catch(() => {}); // already told by fail()

// Pyodide asks by itself for the files beside it: hand it the downloads that are under way.
self.fetch = (input, options) => {
  const url = new URL(input.url ?? input, self.location).href;
  const download = downloads.get(url);
  downloads.delete(url);
  return download ?? fetchPlainly(input, options);
};

// Pyodide only logs a failure here and then waits for ever.
const instantiate = WebAssembly.instantiateStreaming;
WebAssembly.instantiateStreaming = async (...source) => {
  try {
    return await instantiate.apply(WebAssembly, source);
  } catch (error) {
    startFailed(error);
    throw error;
  }
};

// ---- waking

let answer = null; // Python's own function, once it is awake

async function wake() {
  const [{ loadPyodide }] = await Promise.all(['pyodide.mjs', 'pyodide.asm.mjs'].map(load));
  const pyodide = await loadPyodide({ indexURL: here(runtime.base) });
  const archive = await self.fetch(here(core.base + Object.keys(core.files)[0]));
  pyodide.FS.writeFile('/shortlever.zip', new Uint8Array(await archive.arrayBuffer()));
  pyodide.pyimport('sys').path.append('/shortlever.zip');
  pyodide.pyimport('random').seed();
  const view = pyodide.pyimport('shortlever.view');
  const example = pyodide.pyimport('json').dumps(view.example_request());
  if (!JSON.parse(view.answer(example)).ok) throw new Error('the example got no result');
  answer = view.answer;
  enter('ready', { milliseconds: Math.round(performance.now() - started) });
  answerNewest();
}

// ---- answering

let newest = null; // the question to answer next
const turn = new MessageChannel(); // lets questions that have already arrived overtake

function answerNewest() {
  if (!answer || !newest) return;
  const { id, request } = newest;
  newest = null;
  let response;
  let dead = false; // Python does not live on after some errors, such as too deep a recursion
  try {
    response = answer(String(request));
  } catch (error) {
    const problem = {
      field: null, code: 'internal', given: '', message: `The calculation stopped (${lastLine(error)}).`,
      remedy: 'Your numbers are kept. Change one, then try again.',
    };
    response = JSON.stringify({ ok: false, errors: [problem], warnings: [], reading: {} });
    dead = Boolean(error?.pyodide_fatal_error);
  }
  self.postMessage({ id, response });
  if (dead) {
    answer = null;
    fail('stopped', 'The calculator has stopped.', 'Your numbers are kept. Try again.');
  }
}

turn.port1.onmessage = answerNewest;
self.onmessage = ({ data }) => {
  newest = data;
  turn.port2.postMessage(null);
};

enter('fetching', { done, total });
wake().catch(startFailed);
