// Takes a picture of Python's memory with the core imported and warm, so that the browser need not do that again.
//   node snapshot.mjs STAGE_DIR
// Reads STAGE_DIR/runtime and STAGE_DIR/core as stage.mjs has left them; writes STAGE_DIR/snapshot/python.snapshot.
// The same inputs give the same bytes: clock, timer and randomness stand still here.
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';

const stage = resolve(process.argv[2]);
const runtime = join(stage, 'runtime');
const WARM_UP = readFileSync(new URL('warm_up.py', import.meta.url), 'utf8');
const PAGE = 4096; // pages that hold only zeros are left out
const WORD = 64; // what equals the fresh memory of the wasm module is left out in words of so many bytes

// Nothing of this machine and of this moment may get into the memory.
function standStill() {
  process.argv.length = 1;
  process.env.TZ = 'UTC';
  Object.defineProperty(globalThis, 'navigator', { value: { language: 'en', languages: ['en'], userAgent: 'none' } });
  const now = Date.UTC(2026, 0, 1);
  let ticks = 0;
  const Still = class extends Date {
    /** @param {[number]} given what a Date takes, or nothing */
    constructor(...given) {
      super(...(given.length ? given : /** @type {[number]} */ ([now])));
    }
    static now() {
      return now;
    }
  };
  globalThis.Date = /** @type {DateConstructor} */ (Still); // never called without new
  performance.now = () => (ticks += 0.01);
  Math.random = () => 0.5;
  crypto.getRandomValues = (array) => {
    new Uint8Array(array.buffer, array.byteOffset, array.byteLength).fill(7);
    return array;
  };
}

const setting = (/** @type {object} */ more) => ({
  indexURL: runtime,
  _sysExecutable: '/python', // no path of this machine
  env: { HOME: '/home/pyodide', PYTHONHASHSEED: '0' },
  ...more,
});

/** @param {Python.Load} loadPyodide */
async function takeSnapshot(loadPyodide) {
  const pyodide = await loadPyodide(setting({ _makeSnapshot: true }));
  for (const name of ['shortlever.zip', 'lifts.zip']) pyodide.FS.writeFile(`/${name}`, readFileSync(join(stage, 'core', name)));
  pyodide.runPython(WARM_UP);
  clearFreeMemory(pyodide._module);
  return { snapshot: pyodide.makeMemorySnapshot(), own: [pyodide._module.ownWord] };
}

/** What was freed still holds its old bytes; zeros there pack to nothing. @param {Python.Module} module */
function clearFreeMemory(module) {
  const taken = [];
  const end = module._sbrk(0);
  for (let size = 1 << 18; size >= 16; size >>= 1) {
    for (;;) {
      const place = module._malloc(size - 8);
      if (!place) break;
      taken.push(place);
      if (place + size > end) break; // a new piece behind the old end: nothing of this size is free before it
      module.HEAPU8.fill(0, place, place + size - 8);
    }
  }
  for (const place of taken) module._free(place);
}

/** The memory of the module before anything is restored into it. @param {Python.Load} loadPyodide @param {Uint8Array} snapshot @returns {Promise<Uint8Array>} */
async function freshMemory(loadPyodide, snapshot) {
  /** @type {{ default: Python.Make }} */
  const { default: createModule } = await import(pathToFileURL(join(runtime, 'pyodide.asm.mjs')).href);
  /** @type {Uint8Array[]} */
  const fresh = [];
  await loadPyodide(setting({
    _loadSnapshot: snapshot.slice(),
    createPyodideModule: async (/** @type {object} */ settings) => {
      const module = await createModule(settings);
      const end = module._sbrk(0);
      if (!isZero(module.HEAPU8.subarray(end))) throw new Error('a fresh module has written behind its end');
      fresh.push(module.HEAPU8.slice(0, end));
      return module;
    },
  }));
  return fresh[0];
}

const isZero = (/** @type {Uint8Array} */ bytes) => bytes.every((byte) => byte === 0);

/** Pairs [gap since the last one, length] of neighbouring numbers. @param {number[]} numbers */
function runsOf(numbers) {
  const runs = [];
  let end = 0;
  for (const number of numbers) {
    if (runs.length && number === end) runs[runs.length - 1] += 1;
    else runs.push(number - end, 1);
    end = number + 1;
  }
  return runs;
}

/**
 * [length of what follows, as 4 bytes] [JSON] [head of the snapshot] [pages], see site_src/worker/snapshot.mjs; how long
 * memory and head are, build.py tells the worker beforehand.
 * @param {Uint8Array} snapshot @param {Uint8Array} fresh @param {number[]} own
 */
function pack(snapshot, fresh, own) {
  const head = new Uint32Array(snapshot.buffer, snapshot.byteOffset, 2)[1];
  const memory = snapshot.slice(head);
  const same = [];
  for (let word = 0; (word + 1) * WORD <= Math.min(fresh.length, memory.length); word += 1) {
    const place = [word * WORD, (word + 1) * WORD];
    const theirs = fresh.subarray(...place);
    if (isZero(theirs) || Buffer.compare(theirs, memory.subarray(...place))) continue;
    same.push(word);
    memory.fill(0, ...place);
  }
  const pages = [];
  for (let page = 0; page * PAGE < memory.length; page += 1) {
    if (!isZero(memory.subarray(page * PAGE, (page + 1) * PAGE))) pages.push(page);
  }
  const brought = Math.max((same[same.length - 1] + 1) * WORD, ...own.map((place) => place + 4));
  const about = { memory: memory.length, head, brought, page: PAGE, word: WORD, pages: runsOf(pages), same: runsOf(same), own };
  const told = Buffer.from(JSON.stringify(about));
  const size = Buffer.alloc(4);
  size.writeUInt32LE(told.length);
  const kept = pages.map((page) => memory.subarray(page * PAGE, (page + 1) * PAGE));
  return Buffer.concat([size, told, snapshot.subarray(0, head), ...kept]);
}

async function main() {
  standStill();
  /** @type {{ loadPyodide: Python.Load }} */
  const { loadPyodide } = await import(pathToFileURL(join(runtime, 'pyodide.mjs')).href);
  const { snapshot, own } = await takeSnapshot(loadPyodide);
  const packed = pack(snapshot, await freshMemory(loadPyodide, snapshot), own);
  mkdirSync(join(stage, 'snapshot'), { recursive: true });
  writeFileSync(join(stage, 'snapshot', 'python.snapshot'), packed);
  console.log(`memory ${snapshot.length}, packed ${packed.length}`);
}

await main().catch((error) => {
  console.error(error);
  console.error(String(error.message ?? error).trim().split('\n').at(-1));
  process.exit(1);
});
process.exit(0);
