// The way to the home screen, once the site is kept: the browser's own prompt by a button, or words where it has none.

import { say } from "../../words.mjs";
import { byId, find } from "./find.mjs";

/** @typedef {Event & { prompt(): Promise<unknown> }} Asking what the browser hands over when it could ask */

/** @type {Asking | null} */
let asking = null;

addEventListener("beforeinstallprompt", (event) => {
  event.preventDefault(); // no bar of the browser's own over the form
  asking = /** @type {Asking} */ (event);
  if (offered) show();
});
addEventListener("appinstalled", () => {
  byId("install").hidden = true;
});

let offered = false;

/** Says in #install how to put the site on the home screen, unless it was started from there. */
export function offerInstall() {
  offered = true;
  show();
}

/** Whether this page was started from the home screen. */
export const isInstalled = () => matchMedia("(display-mode: standalone)").matches || ("standalone" in navigator && Boolean(navigator.standalone));

function show() {
  const box = document.getElementById("install");
  if (!box || isInstalled()) return;
  const button = find(box, "button", HTMLButtonElement);
  const hint = "standalone" in navigator ? "install_ios" : "install_menu"; // only Safari on a phone has that property
  button.hidden = !asking;
  find(box, "[data-part=text]").textContent = say(asking ? "install_why" : hint);
  button.onclick = async () => {
    box.hidden = true; // a prompt serves once
    const once = asking;
    asking = null; // before it is over: the browser may have handed over the next one by then
    await once?.prompt();
  };
  box.hidden = !asking && !matchMedia("(pointer: coarse)").matches;
}
