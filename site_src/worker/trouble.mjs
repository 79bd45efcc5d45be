// What went wrong, as plain data: a code, which sentence of the page's words says it, and where it arose.

/** Something a person can do something about. `said`: the sentence worker_SAID of the words, `parts` what is filled in. */
export class Trouble extends Error {
  /** @param {string} code @param {string} said @param {Wire.Sentence["parts"]} parts */
  constructor(code, said, ...parts) {
    super([said, ...parts.filter((part) => typeof part === 'string')].join(' '));
    this.code = code;
    this.said = said;
    this.parts = parts;
  }

  /** @returns {Wire.Sentence} */
  get sentence() {
    return { said: this.said, parts: this.parts };
  }
}

/** @param {unknown} value @returns {value is object} */
export const isObject = (value) => typeof value === 'object' && value !== null;

/** What an error says in its end, without the name of its class. @param {unknown} error */
export function lastLine(error) {
  const lines = String(isObject(error) && 'message' in error ? error.message : error).trim().split('\n');
  return lines[lines.length - 1].replace(/^[\w.]+: /, '').replace(/\.$/, '');
}

const OF_JAVASCRIPT = /^\s*(?:at (?:async )?)?([\w.$<>]*)[@ (]*https?:\/\/\S*\/([\w.-]+:\d+):\d+\)?$/;
const OF_PYTHON = /^ {2}File "\/?(?:lib\/)?([\w./-]+)", line (\w+), in ([\w.<>]+)$/;

/** The class of an error that Python raised. @param {unknown} error */
export const typeOf = (error) => (isPythons(error) && isObject(error) && 'type' in error ? error.type : null);

export const isPythons = (/** @type {unknown} */ error) => isObject(error) && 'name' in error && error.name === 'PythonError';

/**
 * What an error is and where it arose. What it says only where nothing typed was at hand, and never in Python's words: they may hold it.
 * @param {unknown} error @param {boolean} [says] @returns {Wire.Report}
 */
export function reportOf(error, says = false) {
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

/** What could not be foreseen is told by its last line. @param {unknown} error @returns {Wire.Failure} */
export function startFailure(error) {
  const report = reportOf(error, true);
  if (error instanceof Trouble) return { code: error.code, ...error.sentence, report };
  return { code: 'start_failed', said: 'start_failed', parts: [lastLine(error)], report };
}
