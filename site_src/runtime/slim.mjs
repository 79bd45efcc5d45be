// Leaves out of the published Pyodide what a core in pure Python never reaches: packages in native code cannot be loaded
// afterwards, and nothing else is missed.
//   node slim.mjs NODE_MODULES OUT_DIR
// 1. Pyodide exports all that a native package might call, thousands of functions. Kept is what its own two scripts
//    or snapshot.mjs mention by name anywhere; Binaryen then drops the functions that nothing calls any more.
// 2. Its script gets only what the remaining module imports, and Terser drops what is then unused.
// 3. Nothing exported gets a place in the function table by itself: engines disagree about which ones have one already,
//    and the snapshot holds places. The one word that is each engine's own, the trampoline's place, is told as Module.ownWord.
// 4. The tables of the Chinese, Japanese and Korean codecs become zeros: their Python halves are not shipped.
// The shape of the script is Emscripten's and pinned with Pyodide; when a pattern is not found, this stops.
import { copyFileSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { execFileSync } from 'node:child_process';
import { join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';

const [modules, out] = process.argv.slice(2).map((path) => resolve(path));
const published = join(modules, 'pyodide');
const FEATURES = ['mutable-globals', 'sign-ext', 'bulk-memory', 'bulk-memory-opt', 'call-indirect-overlong', 'exception-handling',
  'nontrapping-float-to-int', 'reference-types', 'multivalue', 'extended-const'].map((name) => `--enable-${name}`);

const importOf = (/** @type {string[]} */ ...path) => import(pathToFileURL(join(...path)).href);
const wordsOf = (/** @type {string} */ text) => new Set(/** @type {string[]} */ (text.match(/[\w$]+/g)));

// ---- the script

const ASSIGN = 'function assignWasmExports(wasmExports){';
const IMPORTS = /var wasmImports=\{[^}]*\}/;
const PUBLISHED = /Module\["([\w$]+)"\]=([\w$]+);/g;
const SIGNED = /(?<=[;}])_?([\w$]+)\.sig="\w*";/g; // the types of a function, for native packages

const FOR_PACKAGES = 'updateGOT(origExports);';
const TRAMPOLINE = 'HEAP32[(__PyRuntime+offset)/4>>>0]=ptr';

/** @param {string} text @param {RegExp} pattern */
function mustMatch(text, pattern) {
  const found = text.match(pattern);
  if (!found) throw new Error(`Pyodide's script has changed: ${pattern} is not in it: ${text.slice(0, 200)}`);
  return found;
}

/** The script cut into its parts: text before, the names declared, the assignments, text behind. @param {string} script */
function parts(script) {
  const start = script.indexOf(ASSIGN);
  const end = script.indexOf('}', start);
  if (start < 0) throw new Error(`Pyodide's script has changed: ${ASSIGN} is not in it`);
  const [declared] = mustMatch(script.slice(0, start), /var (?:[\w$]+,)*[\w$]+;$/);
  return {
    before: script.slice(0, start - declared.length),
    declared: declared.slice(4, -1).split(','),
    assigned: script.slice(start + ASSIGN.length, end).split(';'),
    behind: script.slice(end + 1),
  };
}

/** The script with only what it uses itself, what its users mention, and what the module asks for. @param {string} script @param {string} users @param {Set<string>} imports */
function trimmed(script, users, imports) {
  script = script.replace(mustMatch(script, IMPORTS)[0], (whole) => {
    const entries = whole.slice(whole.indexOf('{') + 1, -1).split(',');
    return `var wasmImports={${entries.filter((entry) => imports.has(entry.split(':')[0])).join(',')}}`;
  });
  script = script.replace(SIGNED, (whole, name) => (imports.has(name) ? whole : ''));
  const { before, declared, assigned, behind } = parts(script);
  const own = (before + behind).replace(PUBLISHED, '');
  const mentioned = new Set([...wordsOf(own), ...wordsOf(users)]);
  const read = new Set([...(own + users).matchAll(/(?:\.|\[")([\w$]+)/g)].map(([, name]) => name));
  const unpublished = (/** @type {string} */ text) => text.replace(PUBLISHED, (whole, name) => (read.has(name) ? whole : ''));
  // a statement: local=Module["name"]=…=wasmExports["name"]
  const locals = (/** @type {string} */ statement) => [...statement.matchAll(/(?<=^|=)([\w$]+)(?==)/g)].map(([name]) => name);
  const kept = assigned.filter((statement) => {
    const names = [...statement.matchAll(/Module\["([\w$]+)"\]/g)].map(([, name]) => name);
    const [, exported] = mustMatch(statement, /=wasmExports\["([\w$.]+)"\]/);
    return locals(statement).some((name) => mentioned.has(name)) || names.some((name) => read.has(name)) || imports.has(exported);
  });
  const wanted = new Set([...mentioned, ...kept.flatMap(locals)]);
  const names = declared.filter((name) => wanted.has(name));
  return `${unpublished(before)}var ${names.join(',')};${ASSIGN}${kept.join(';')}}${unpublished(behind)}`;
}

/** @param {string} script @param {string} text @param {string} by */
function replaced(script, text, by) {
  if (script.split(text).length !== 2) throw new Error(`Pyodide's script has changed: ${text} is not in it once`);
  return script.replace(text, by);
}

/** @param {string} script @returns {Promise<string>} */
async function withoutUnused(script) {
  /** @type {{ minify: (script: string, how: object) => Promise<{ code: string }> }} */
  const { minify } = await importOf(modules, 'terser', 'main.js');
  const compress = { defaults: false, unused: true, dead_code: true, side_effects: true, keep_fargs: true, passes: 3 };
  const { code } = await minify(script.replace(/\beval\(/g, 'globalThis.eval('), { module: true, mangle: false, compress });
  return code; // a direct eval might use any name
}

// ---- the module

const moduleOf = (/** @type {Buffer} */ wasm) => new WebAssembly.Module(/** @type {Buffer<ArrayBuffer>} */ (wasm)); // no shared memory here
const importsOf = (/** @type {Buffer} */ wasm) => new Set(WebAssembly.Module.imports(moduleOf(wasm)).map(({ name }) => name));

/** The number there, and where what follows it begins. @param {Buffer} bytes @param {number} at */
function readNumber(bytes, at) {
  let value = 0;
  for (let shift = 0; ; shift += 7) {
    const byte = bytes[at++];
    value |= (byte & 127) << shift;
    if (byte < 128) return [value >>> 0, at];
  }
}

/** @param {number} value */
function numberBytes(value) {
  const bytes = [];
  do {
    bytes.push((value & 127) | (value > 127 ? 128 : 0));
    value >>>= 7;
  } while (value);
  return Buffer.from(bytes);
}

/**
 * The module with each section of that number changed: `change(content)` gives the new content.
 * @param {Buffer} wasm @param {number} number @param {(content: Buffer) => Buffer} change
 */
function withSection(wasm, number, change) {
  const sections = [wasm.subarray(0, 8)];
  for (let at = 8; at < wasm.length; ) {
    const [length, start] = readNumber(wasm, at + 1);
    const content = wasm.subarray(start, start + length);
    const next = wasm[at] === number ? change(content) : content;
    sections.push(Buffer.from([wasm[at]]), numberBytes(next.length), next);
    at = start + length;
  }
  return Buffer.concat(sections);
}

const EXPORTS = 7;
const DATA = 11;

/** @param {Buffer} wasm @param {(name: string) => boolean} isWanted */
function onlyExports(wasm, isWanted) {
  return withSection(wasm, EXPORTS, (content) => {
    const kept = [];
    let [count, at] = readNumber(content, 0);
    for (; count; count -= 1) {
      const start = at;
      const [length, from] = readNumber(content, at);
      at = readNumber(content, from + length + 1)[1]; // one byte tells the kind, then its number
      if (isWanted(content.toString('utf8', from, from + length))) kept.push(content.subarray(start, at));
    }
    return Buffer.concat([numberBytes(kept.length), ...kept]);
  });
}

/** Zeros in the places [address, length] of the module's fresh memory. @param {Buffer} wasm @param {number[][]} places */
function cleared(wasm, places) {
  return withSection(wasm, DATA, (content) => {
    const data = Buffer.from(content);
    let [count, at] = readNumber(data, 0);
    for (; count; count -= 1) {
      if (data[at] !== 0 || data[at + 1] !== 0x41) throw new Error('a data segment without a plain address');
      const [address, behind] = readNumber(data, at + 2);
      const [length, start] = readNumber(data, behind + 1);
      for (const [place, size] of places) {
        const from = Math.max(place - address, 0);
        const to = Math.min(place + size - address, length);
        if (from < to) data.fill(0, start + from, start + to);
      }
      at = start + length;
    }
    return data;
  });
}

// Where the codecs' tables are. Each codec publishes capsules whose pointer leads to {charset, encoding index, decoding
// index} (CPython, Modules/cjkcodecs/cjkcodecs.h); an index has 256 entries {16-bit table, first byte, last byte}.
async function codecTables() {
  /** @type {{ loadPyodide: Python.Load }} */
  const { loadPyodide } = await importOf(published, 'pyodide.mjs');
  const pyodide = await loadPyodide({ indexURL: published });
  /** @type {number[]} */
  const capsules = pyodide.runPython(`
import importlib
codecs = [importlib.import_module("_codecs_" + name) for name in ("cn", "hk", "jp", "kr", "tw")]
[id(value) for codec in codecs for name, value in vars(codec).items()
    if name.startswith("__map_") and not name.endswith("_pair")]  # the pairs have a table of another kind
`).toJs();
  const { HEAPU8, HEAPU32 } = pyodide._module;
  const word = (/** @type {number} */ address) => HEAPU32[address >> 2];
  const places = [];
  for (const capsule of capsules) {
    const map = word(capsule + 8);
    for (const index of [word(map + 4), word(map + 8)].filter(Boolean)) {
      for (let entry = index; entry < index + 2048; entry += 8) {
        const [table, first, last] = [word(entry), HEAPU8[entry + 4], HEAPU8[entry + 5]];
        if (table && first <= last) places.push([table, 2 * (last - first + 1)]);
      }
      places.push([index, 2048]);
    }
  }
  return places;
}

/** @param {string} script @param {string} users @param {Set<string>} imports */
function wantedFrom(script, users, imports) {
  const mentioned = wordsOf(script + users);
  return (/** @type {string} */ name) => mentioned.has(name) || mentioned.has(`_${name}`) || imports.has(name);
}

/** @param {Buffer} wasm */
function withoutUncalled(wasm) {
  const [from, to] = [join(out, 'whole.wasm'), join(out, 'slim.wasm')];
  writeFileSync(from, wasm);
  const tool = join(modules, 'binaryen', 'bin', 'wasm-opt');
  execFileSync(process.execPath, [tool, '--mvp-features', ...FEATURES, '--remove-unused-module-elements', from, '-o', to]);
  const slim = readFileSync(to);
  for (const file of [from, to]) rmSync(file);
  return slim;
}

// ----

async function main() {
  mkdirSync(out, { recursive: true });
  const ours = readFileSync(new URL('snapshot.mjs', import.meta.url), 'utf8').replace(/\/\*\*.*?\*\//gs, ''); // types mention nothing
  const users = readFileSync(join(published, 'pyodide.mjs'), 'utf8') + ours;
  let script = readFileSync(join(published, 'pyodide.asm.mjs'), 'utf8');
  script = replaced(script, FOR_PACKAGES, '');
  script = replaced(script, TRAMPOLINE, `${TRAMPOLINE};Module.ownWord=__PyRuntime+offset`);
  let wasm = readFileSync(join(published, 'pyodide.asm.wasm'));
  const sizes = () => `${WebAssembly.Module.exports(moduleOf(wasm)).length} exports, module ${wasm.length}, script ${script.length}`;
  const before = sizes();
  wasm = cleared(wasm, await codecTables());
  script = trimmed(script, users, importsOf(wasm));
  wasm = withoutUncalled(onlyExports(wasm, wantedFrom(script, users, importsOf(wasm))));
  script = trimmed(await withoutUnused(trimmed(script, users, importsOf(wasm))), users, importsOf(wasm));
  wasm = onlyExports(wasm, wantedFrom(script, users, importsOf(wasm)));
  copyFileSync(join(published, 'pyodide.mjs'), join(out, 'pyodide.mjs'));
  writeFileSync(join(out, 'pyodide.asm.mjs'), script);
  writeFileSync(join(out, 'pyodide.asm.wasm'), wasm);
  console.log(`${before} → ${sizes()}`);
}

await main().catch((error) => {
  console.error(error);
  console.error(String(error.message ?? error).trim().split('\n').at(-1));
  process.exit(1);
});
process.exit(0);
