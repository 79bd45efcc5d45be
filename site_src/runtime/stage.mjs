// Stages Python for the browser, inside the pinned Pyodide itself, since only Python 3.14 can compile for Python 3.14.
//   node stage.mjs PYODIDE_DIR SLIM_DIR CORE_DIR WHEELS_DIR OUT_DIR
// Writes OUT_DIR/runtime (a Pyodide whose standard library holds only what the core needs, compiled) and
// OUT_DIR/core/shortlever.zip (the compiled core) and OUT_DIR/core/lifts.zip (of that, what only the lifts need that are
// fetched when they are asked for). The same inputs give the same bytes on every machine.
import { copyFileSync, readFileSync, readdirSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';

const [pyodideDir, slimDir, coreDir, wheelsDir, outDir] = process.argv.slice(2).map((path) => resolve(path));
const STEPS = readFileSync(new URL('stage.py', import.meta.url), 'utf8');

/** A fresh Python that sees the core's sources (and nothing of its tests). @returns {Promise<Python.Pyodide>} */
async function python() {
  /** @type {{ loadPyodide: Python.Load }} */
  const { loadPyodide } = await import(pathToFileURL(join(pyodideDir, 'pyodide.mjs')).href);
  const pyodide = await loadPyodide({
    indexURL: pyodideDir,
    args: ['-OO'], // no asserts, no docstrings
    env: { HOME: '/home/pyodide', PYTHONHASHSEED: '0', SOURCE_DATE_EPOCH: '315532800' },
  });
  copyIn(pyodide.FS, join(coreDir, 'shortlever'), '/core/shortlever');
  pyodide.runPython('import sys; sys.path.insert(0, "/core")');
  return pyodide;
}

/** @param {Python.Pyodide["FS"]} FS @param {string} from @param {string} to */
function copyIn(FS, from, to) {
  FS.mkdirTree(to);
  for (const entry of readdirSync(from, { withFileTypes: true })) {
    if (entry.name === '__pycache__' || entry.name.startsWith('.')) continue;
    if (entry.isDirectory()) copyIn(FS, join(from, entry.name), `${to}/${entry.name}`);
    else FS.writeFile(`${to}/${entry.name}`, readFileSync(join(from, entry.name)));
  }
}

/** Run one function of stage.py; JSON in, JSON out. @param {Python.Pyodide} pyodide @param {string} name @param {unknown[]} values */
function call(pyodide, name, ...values) {
  pyodide.FS.writeFile('/home/pyodide/stage.py', STEPS);
  const stage = pyodide.pyimport('stage');
  try {
    return JSON.parse(stage[name](JSON.stringify(values)));
  } finally {
    stage.destroy();
  }
}

async function main() {
  const tools = await python();
  /** @type {string[]} */
  const imports = call(tools, 'imports_of', ['shortlever.view']);
  /** @type {string[]} */
  const later = call(tools, 'imports_of', call(tools, 'asked')).filter((/** @type {string} */ name) => !imports.includes(name));

  // In a Python that has imported nothing else: what is loaded once the core has answered?
  const probe = await python();
  const answer = probe.pyimport('shortlever.view').answer;
  answer(JSON.stringify(probe.pyimport('shortlever.view').example_request().toJs({ dict_converter: Object.fromEntries })));
  answer('not JSON');
  try {
    probe.runPython('1 / 0'); // Pyodide loads its own modules to report an error
  } catch { /* as it should */ }
  /** @type {string[]} */
  const loaded = call(probe, 'loaded', [...imports, ...later]);

  for (const wheel of readdirSync(wheelsDir).filter((name) => name.endsWith('.whl'))) {
    tools.FS.writeFile(`/home/pyodide/${wheel}`, readFileSync(join(wheelsDir, wheel)));
  }
  /** @type {{ [from: string]: string }} */
  const made = call(tools, 'compile_all', loaded, later);
  for (const [from, to] of Object.entries(made)) writeFileSync(join(outDir, to), tools.FS.readFile(from));

  const runtime = join(outDir, 'runtime');
  for (const name of ['pyodide.mjs', 'pyodide.asm.mjs', 'pyodide.asm.wasm']) {
    copyFileSync(join(slimDir, name), join(runtime, name));
  }
  const lock = JSON.parse(readFileSync(join(pyodideDir, 'pyodide-lock.json'), 'utf8'));
  writeFileSync(join(runtime, 'pyodide-lock.json'), JSON.stringify({ info: lock.info, packages: {} }));
}

await main().catch((error) => {
  console.error(error);
  const lines = String(error.message ?? error).trim().split('\n');
  console.error(lines.at(-1)); // the last line is the one that build.py repeats
  process.exit(1);
});
