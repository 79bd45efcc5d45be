// What every screen does with the calculator: start it after the first paint, say how far it is, go offline once it runs.

import { Loading } from "./loading.mjs";
import { goOffline } from "./offline.mjs";
import { WorkerClient } from "./worker-client.mjs";

/**
 * Starts Python in its worker and gives the client to ask: `client.ask(kind, request)`.
 * `kinds`: the kinds of questions of this screen, the most urgent first; `onResponse(kind, response, request)`;
 * `onAwake(awake)`: whether answers can come; `beforeReload()`: keeps what was typed before a new version loads.
 */
export function startCalculator({ kinds, onResponse, onAwake = () => {}, beforeReload }) {
  let settled = false;
  const loading = new Loading(() => {
    loading.show({ state: "fetching", done: 0, total: 0 });
    client.start();
  });
  const onState = (message) => {
    const awake = message.state === "ready";
    onAwake(awake);
    loading.show(message);
    const failedAgain = message.state === "failed" && navigator.serviceWorker?.controller; // a newer version may mend it
    if (settled || !(awake || failedAgain)) return;
    settled = true; // only now: the install must not compete with the start of Python
    goOffline({ plain: message.boot !== "snapshot", complete: () => loading.offlineIsComplete(), beforeReload });
  };
  const client = new WorkerClient(new URL("../worker/worker.mjs", import.meta.url), { kinds, onState, onResponse });
  requestAnimationFrame(() => setTimeout(() => client.start())); // after the first paint
  return client;
}
