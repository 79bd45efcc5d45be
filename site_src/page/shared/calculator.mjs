// What every screen does with the calculator: start it after the first paint, say how far it is, go offline once it runs.

import { listenToAlong, showAlong } from "./along.mjs";
import { byId } from "./find.mjs";
import { listenToCautions } from "./cautions.mjs";
import { leadToLift, showLift } from "./lift.mjs";
import { Loading } from "./loading.mjs";
import { goOffline, mendKept, verifyKept } from "./offline.mjs";
import { remind } from "./remind.mjs";
import { offerReport, reportText } from "./report.mjs";
import { listenToTurns } from "./turn.mjs";
import { WorkerClient } from "./worker-client.mjs";

/**
 * @template {Wire.Questions} Q
 * @typedef {object} Settings what a screen gives
 * @property {(keyof Q & string)[]} kinds
 * @property {Core.OnResponse<Q>} onResponse
 * @property {(awake: boolean) => void} [onAwake]
 * @property {() => unknown} beforeReload
 * @property {Promise<unknown>} [after] what comes before Python, which takes all of a small device
 * @property {Omit<import("./along.mjs").Hooks, "settle">} [along] how this screen knows who is here and goes to another
 * @property {Partial<import("./turn.mjs").Hooks>} [turn] what "next lifter" does otherwise than on most screens
 */

/**
 * Starts Python in its worker and gives the client to ask: `client.ask(kind, request)`.
 * `kinds`: the kinds of questions of this screen, the most urgent first; `onResponse(kind, response, request)`;
 * `onAwake(awake)`: whether answers can come; `beforeReload()`: keeps what was typed before a new version, another lift or the next lifter comes.
 * @template {Wire.Questions} Q @param {Settings<Q>} settings
 */
export function startCalculator({ kinds, onResponse, onAwake = () => {}, beforeReload, after, turn, along }) {
  let settled = false;
  let mayMend = true; // by itself once, and again each time a person tries again
  let failed = false;
  const start = () => {
    failed = false;
    loading.show({ state: "fetching", done: 0, total: 0 });
    client.start();
  };
  const loading = new Loading(() => {
    mayMend = true;
    start();
  });
  async function mend() {
    if (!mayMend) return;
    mayMend = false;
    if (await mendKept() && failed) start(); // whoever mended it: what it started from may have been damaged still
  }
  const onState = (/** @type {Wire.State} */ message) => {
    const awake = message.state === "ready";
    onAwake(awake);
    loading.show(message);
    failed = message.state === "failed";
    if (awake) mayMend = true;
    if (failed) mend();
    if (message.state === "ready" && message.note) console.warn(`plain boot: ${message.note}`);
    const failedAgain = message.state === "failed" && navigator.serviceWorker?.controller; // a newer version may mend it
    if (!(awake || failedAgain)) return;
    if (!settled) {
      goOffline(beforeReload); // only now: the install must not compete with the start of Python
      remind(beforeReload);
    }
    settled = true;
    verifyKept(!(message.state === "ready" && message.boot === "snapshot"), () => loading.offlineIsComplete());
  };
  let faulty = "";
  const onFault = (/** @type {Wire.Report | null} */ report, /** @type {string} */ kind, /** @type {unknown} */ request) => {
    if (!report && kind !== faulty) return;
    faulty = report ? kind : "";
    const box = byId("fault");
    box.hidden = !report;
    if (report) offerReport(box, reportText(report, { kind, request }));
  };
  /** @type {WorkerClient<Q>} */
  const client = new WorkerClient(new URL("../../worker/worker.mjs", import.meta.url), { kinds, onState, onResponse, onFault });
  leadToLift();
  showLift(beforeReload);
  listenToCautions();
  const turns = { settle: beforeReload, ...turn };
  listenToTurns(turns);
  listenToAlong({ settle: turns.settle, ...along });
  showAlong();
  requestAnimationFrame(() => setTimeout(async () => { // after the first paint
    await after;
    client.start();
  }));
  return client;
}
