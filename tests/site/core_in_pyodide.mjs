// Runs tests/core with pytest inside the pinned Pyodide:  node core_in_pyodide.mjs PYODIDE_DIR ROOT SITE_PACKAGES MARKS
// The last line printed is JSON (see run_core.py).
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';

const [pyodideDir, root, sitePackages, which] = process.argv.slice(2);
const { loadPyodide } = await import(pathToFileURL(join(pyodideDir, 'pyodide.mjs')).href);
const pyodide = await loadPyodide({
  indexURL: pyodideDir,
  env: { HOME: '/home/pyodide', PYTHONDONTWRITEBYTECODE: '1', PYTEST_DISABLE_PLUGIN_AUTOLOAD: '1' },
});
for (const [inside, outside] of [
  ['/project/core', join(root, 'core')],
  ['/project/tests/core', join(root, 'tests', 'core')],
  ['/project/tests/authorities', join(root, 'tests', 'authorities')],
  ['/packages', sitePackages],
]) {
  pyodide.FS.mkdirTree(inside);
  pyodide.mountNodeFS(inside, outside);
}
const copied = { 'pyproject.toml': '/project/pyproject.toml', 'tests/site/run_core.py': '/home/pyodide/run_core.py' };
const { readFileSync } = await import('node:fs');
for (const [from, to] of Object.entries(copied)) pyodide.FS.writeFile(to, readFileSync(join(root, from)));
const path = pyodide.pyimport('sys').path;
for (const folder of ['/packages', '/project/core', '/project']) path.append(folder);
const said = pyodide.pyimport('run_core').run('/project', which);
process.stdout.write(`\n${said}\n`, () => process.exit(0)); // only when all of it is through the pipe
