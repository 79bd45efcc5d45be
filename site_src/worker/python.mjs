// Python's home: a module worker that fetches Python, wakes it, and answers one question at a time.
//
//   page → worker   {id, request}                      request: the JSON text for shortlever.view.answer
//   worker → page   {state: 'fetching', done, total}   bytes of the files as they lie there
//                   {state: 'waking'}
//                   {state: 'ready', milliseconds, boot, note}          the first suggestion is out; see below
//                   {state: 'failed', cause: {code, said, parts, report}}   the first cause; no state comes after it
//                   {id, response}                     the JSON text of the answer
//                   {id, failure: {code, said, parts, report}}   where Python gave none
//
// The newest question wins: an older one that still waits gets no answer.
//
// The worker's name is the lift of the page, where the snapshot does not hold it: what it needs is then fetched with the rest. Where
// another question asks for such a lift (LiftAway), it is fetched then, and the question asked again.
//
// The page says it all: `said` names the sentence worker_SAID of its words, `parts` are filled in.
//
// When anything about the boot from the snapshot fails, the plain one starts; `note` then says why, and the states begin again
// at fetching, for the standard library and the core.
import { bringLifts, startFromSnapshot, startPlainly } from './boot.mjs';
import { tellProgress } from './fetching.mjs';
import { enter, fail, stateNow } from './states.mjs';
import { Trouble, isObject, isPythons, lastLine, reportOf, startFailure, typeOf } from './trouble.mjs';

const started = performance.now();

// ---- waking

/** @typedef {(request: string) => Promise<string>} Answer */

/**
 * The core's answer(); what it needs of a lift that is not here yet is fetched.
 * @param {Python.Pyodide} pyodide @returns {Answer}
 */
function answerOf(pyodide) {
  /** @type {(request: string) => string} */
  const ask = pyodide.pyimport('shortlever.view').answer;
  return async (request) => {
    try {
      return ask(request);
    } catch (error) {
      if (typeOf(error) !== 'LiftAway') throw error;
    }
    await bringLifts(pyodide);
    return ask(request);
  };
}

/**
 * answerOf, once it has worked a setup out: for the question that waits already, else for the example.
 * @param {Python.Pyodide} pyodide @returns {Promise<Answer>}
 */
async function prove(pyodide) {
  pyodide.pyimport('random').seed();
  const ask = answerOf(pyodide);
  const example = () => pyodide.pyimport('json').dumps(pyodide.pyimport('shortlever.view').example_request());
  for (const request of [() => newest?.request, example]) {
    const text = request();
    if (text === undefined) continue;
    const response = await ask(String(text)).catch((error) => { if (error instanceof Trouble) return null; throw error; });
    if (!response || !JSON.parse(response).ok) continue;
    first = { request: text, response };
    return ask;
  }
  throw new Error('the example got no result');
}

/** @type {Answer | null} */
let answer = null; // once Python is awake
/** @type {{ request: string, response: string } | null} */
let first = null; // what it has answered before it was ready

/** The plain boot failed after the snapshot had: what to tell. @param {unknown} error of the snapshot @param {unknown} other */
function neither(error, other) {
  if (other === error || !(other instanceof Trouble) || other.code !== 'unreachable') return other;
  if (error instanceof Trouble && error.said === 'lift_away') return error;
  const why = isPythons(error) ? { said: 'copy_error', parts: [] } : { said: 'copy_failed', parts: [lastLine(error)] };
  const trouble = new Trouble('unreachable', 'neither', error instanceof Trouble ? error.sentence : why);
  if (isObject(error) && 'stack' in error) trouble.stack = String(error.stack); // the first cause
  return trouble;
}

async function wake() {
  let boot = 'snapshot';
  let note = null;
  try {
    answer = await prove(await startFromSnapshot());
  } catch (error) {
    boot = 'plain';
    note = lastLine(error);
    answer = await prove(await startPlainly().catch((other) => { throw neither(error, other); }));
  }
  enter('ready', { milliseconds: Math.round(performance.now() - started), boot, note });
  answerNewest();
}

// ---- answering

/** @type {Wire.Asked | null} */
let newest = null; // the question to answer next
const turn = new MessageChannel(); // lets questions that have already arrived overtake

async function answerNewest() {
  if (!answer || !newest) return;
  const { id, request } = newest;
  newest = null;
  try {
    self.postMessage({ id, response: request === first?.request ? first.response : await answer(String(request)) });
  } catch (error) {
    if (error instanceof Trouble && error.said === 'lift_away') {
      self.postMessage({ id, failure: { code: error.code, ...error.sentence, report: null } });
      return;
    }
    if (error instanceof Trouble) return fail(startFailure(error)); // what is kept of the lift is damaged: the page has it mended
    const report = reportOf(error);
    self.postMessage({ id, failure: { code: 'internal', said: 'internal', parts: [lastLine(error)], report } });
    if (!isObject(error) || !('pyodide_fatal_error' in error && error.pyodide_fatal_error)) return;
    answer = null; // Python does not live on after some errors, such as too deep a recursion
    fail({ code: 'stopped', said: 'stopped', parts: [], report });
  }
}

export function start() {
  turn.port1.onmessage = answerNewest;
  self.onmessage = ({ data }) => {
    newest = data;
    turn.port2.postMessage(null);
  };
  tellProgress();
  wake().catch((error) => { if (stateNow() !== 'ready') fail(startFailure(error)); });
}
