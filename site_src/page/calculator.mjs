// What every screen does with the calculator: start it after the first paint, say how far it is, go offline once it runs.

import { Loading } from "./loading.mjs";
import { goOffline } from "./offline.mjs";
import { WorkerClient } from "./worker-client.mjs";

/**
 * @template {Wire.Questions} Q
 * @typedef {object} Settings what a screen gives
 * @property {(keyof Q & string)[]} kinds
 * @property {Core.OnResponse<Q>} onResponse
 * @property {(awake: boolean) => void} [onAwake]
 * @property {() => void} beforeReload
 */

/**
 * Starts Python in its worker and gives the client to ask: `client.ask(kind, request)`.
 * `kinds`: the kinds of questions of this screen, the most urgent first; `onResponse(kind, response, request)`;
 * `onAwake(awake)`: whether answers can come; `beforeReload()`: keeps what was typed before a new version loads.
 * @template {Wire.Questions} Q @param {Settings<Q>} settings
 */
export function startCalculator({ kinds, onResponse, onAwake = () => {}, beforeReload }) {
  let settled = false;
  const loading = new Loading(() => {
    loading.show({ state: "fetching", done: 0, total: 0 });
    client.start();
  });
  const onState = (/** @type {Wire.State} */ message) => {
    const awake = message.state === "ready";
    onAwake(awake);
    loading.show(message);
    const failedAgain = message.state === "failed" && navigator.serviceWorker?.controller; // a newer version may mend it
    if (settled || !(awake || failedAgain)) return;
    settled = true; // only now: the install must not compete with the start of Python
    goOffline({ plain: !(message.state === "ready" && message.boot === "snapshot"), complete: () => loading.offlineIsComplete(), beforeReload });
  };
  /** @type {WorkerClient<Q>} */
  const client = new WorkerClient(new URL("../worker/worker.mjs", import.meta.url), { kinds, onState, onResponse });
  requestAnimationFrame(() => setTimeout(() => client.start())); // after the first paint
  return client;
}
