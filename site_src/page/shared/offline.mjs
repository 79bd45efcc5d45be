// Service worker: register, say "offline" only when every file is there, ask before a new version takes over.

import { UNNAMED } from "../../lifts.mjs";
import { say } from "../../words.mjs";
import { byId, find } from "./find.mjs";
import { isInstalled, offerInstall } from "./install.mjs";
import { LIFT } from "./lift.mjs";
import { still } from "./press.mjs";

const CHANGE_MS = 2000;
const LOOK_AGAIN_MS = 15 * 60 * 1000;
const lifts = LIFT !== UNNAMED; // this page needs what the snapshot does not hold

/** @param {ServiceWorker} worker @param {Wire.ToServiceWorker} message @returns {Promise<Wire.Verified>} */
function askWorker(worker, message) {
  return new Promise((resolve) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = ({ data }) => resolve(data);
    worker.postMessage(message, [port2]);
  });
}

/** @type {Promise<unknown>} */
let mending = Promise.resolve(); // one at a time: what one mends the next finds whole

/** Has what is kept read, and what is damaged or gone fetched afresh. @param {ServiceWorker} worker @param {boolean} whole */
function mend(worker, whole) {
  const found = mending.then(() => askWorker(worker, { type: "verify", whole, lifts, mend: true }));
  mending = found;
  return found;
}

/** Has all that is kept mended where it must be; whether a start may go better now. */
export async function mendKept() {
  const worker = navigator.serviceWorker?.controller;
  if (!worker) return false;
  const { mended, complete } = await mend(worker, true);
  return mended > 0 || complete;
}

/**
 * Ends what the version in use has under way, before the one that waits may take over and not again after: Chromium then stops it, and a
 * message that comes while it stops starts it anew, for half a minute more. A version from before this was known does not answer.
 * @param {ServiceWorkerRegistration} registration
 */
async function letGo({ waiting, active }) {
  if (!waiting || !active) return;
  const silent = new Promise((resolve) => { setTimeout(resolve, CHANGE_MS); });
  await Promise.race([askWorker(active, { type: "let-go" }), silent]);
}

/** @param {() => void} useIt */
async function offerUpdate(useIt) {
  await still();
  const box = byId("update");
  box.hidden = false;
  find(box, "#update-now").onclick = useIt;
  find(box, "#update-later").onclick = () => { box.hidden = true; };
}

/** @param {boolean} updating */
async function explainFull(updating) {
  await still();
  const box = byId("no-room");
  box.hidden = false;
  find(box, '[data-part="message"]').textContent = say(updating ? "no_room_update" : "no_room");
  find(box, "#no-room-away").onclick = () => { box.hidden = true; };
}

/** Keeps the site on the device, and offers its new versions; `beforeReload` is called before one loads. @param {() => void} beforeReload */
export async function goOffline(beforeReload) {
  const container = navigator.serviceWorker;
  if (!container) return; // private mode or plain http: the page works, without offline
  const updating = Boolean(container.controller);
  let reloading = false;
  const reload = () => {
    if (reloading) return;
    reloading = true;
    beforeReload();
    location.reload();
  };

  container.addEventListener("message", ({ data }) => {
    if (data?.type === "install-failed" && data.full) explainFull(updating);
  });
  /** @type {ServiceWorkerRegistration} */
  let registration;
  try {
    registration = await container.register("./sw.js", { scope: "./", updateViaCache: "none" });
  } catch {
    return;
  }
  let asked = false;
  const offer = async (/** @type {ServiceWorker} */ worker) => {
    const answered = await askWorker(worker, { type: "verify" }); // an empty script installs too, but never answers
    if (!answered.complete || worker.state !== "installed") return;
    offerUpdate(() => {
      asked = true;
      const change = () => {
        const { waiting } = registration; // what was offered, or a newer one that came meanwhile
        if (!waiting) return reload(); // it took over, whether or not this page was told
        waiting.postMessage({ type: "skip-waiting" });
        setTimeout(change, CHANGE_MS);
      };
      letGo(registration).then(change);
    });
  };
  container.addEventListener("controllerchange", () => {
    if (asked) reload();
    else if (updating) offerUpdate(reload); // another tab chose the new version
  });
  if (registration.waiting && container.controller) offer(registration.waiting);
  registration.addEventListener("updatefound", () => {
    const worker = registration.installing;
    worker?.addEventListener("statechange", () => {
      if (worker.state === "installed" && container.controller) offer(worker);
    });
  });
  let lookedAt = Date.now();
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState !== "visible" || Date.now() - lookedAt < LOOK_AGAIN_MS) return;
    lookedAt = Date.now();
    registration.update().catch(() => {}); // no connection: the next return looks again
  });
}

/**
 * `complete` is called if all files that this browser needs are verified to be on the device, once they can be.
 * `plain`: it needs those of the plain boot too. What this page does without comes at a later start, or once the site is installed.
 * @param {boolean} plain @param {() => void} complete
 */
export async function verifyKept(plain, complete) {
  const container = navigator.serviceWorker;
  if (!container) return;
  const updating = Boolean(container.controller);
  const { active } = await container.ready;
  if (!active) return;
  let verdict = await askWorker(active, { type: "verify", whole: plain, lifts });
  if (plain || !verdict.complete) verdict = await mend(active, plain); // what is kept may be why
  if (!verdict.complete) return;
  complete();
  offerInstall();
  const keepAll = () => askWorker(active, { type: "verify", whole: true }); // quietly: the lifts nobody asked for here, and the plain boot
  if (updating || isInstalled()) keepAll();
  else addEventListener("appinstalled", keepAll, { once: true });
}
