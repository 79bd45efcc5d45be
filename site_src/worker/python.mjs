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
// The page says it all: `said` names the sentence worker_SAID of its words, `parts` are filled in.
//
// When anything about the boot from the snapshot fails, the plain one starts; `note` then says why, and the states begin again
// at fetching, for the standard library and the core.
import { startFromSnapshot, startPlainly } from './boot.mjs';
import { tellProgress } from './fetching.mjs';
import { enter, fail, stateNow } from './states.mjs';
import { Trouble, isObject, isPythons, lastLine, reportOf, startFailure } from './trouble.mjs';

const started = performance.now();

// ---- waking

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
  const why = isPythons(error) ? { said: 'copy_error', parts: [] } : { said: 'copy_failed', parts: [lastLine(error)] };
  const trouble = new Trouble('unreachable', 'neither', error instanceof Trouble ? error.sentence : why);
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
  try {
    self.postMessage({ id, response: request === first?.request ? first.response : answer(String(request)) });
  } catch (error) {
    const report = reportOf(error);
    self.postMessage({ id, failure: { code: 'internal', said: 'internal', parts: [lastLine(error)], report } });
    if (!isObject(error) || !('pyodide_fatal_error' in error && error.pyodide_fatal_error)) return;
    answer = null; // Python does not live on after some errors, such as too deep a recursion
    fail({ code: 'stopped', said: 'stopped', parts: [], report });
  }
}

/** Stands last: of a part of this file worker.mjs finds no `start`. */
export function start() {
  turn.port1.onmessage = answerNewest;
  self.onmessage = ({ data }) => {
    newest = data;
    turn.port2.postMessage(null);
  };
  tellProgress();
  wake().catch((error) => { if (stateNow() !== 'ready') fail(startFailure(error)); });
}
