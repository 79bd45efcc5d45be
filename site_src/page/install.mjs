// The way to the home screen, once the site is kept: the browser's own prompt by a button, or words where it has none.

import { say } from "../words.mjs";

let prompt = null; // what the browser hands over when it could ask

addEventListener("beforeinstallprompt", (event) => {
  event.preventDefault(); // no bar of the browser's own over the form
  prompt = event;
  if (offered) show();
});
addEventListener("appinstalled", () => {
  document.querySelector("#install").hidden = true;
});

let offered = false;

/** Says in #install how to put the site on the home screen, unless it was started from there. */
export function offerInstall() {
  offered = true;
  show();
}

function show() {
  const box = document.querySelector("#install");
  if (!box || matchMedia("(display-mode: standalone)").matches || navigator.standalone) return;
  const button = box.querySelector("button");
  const hint = "standalone" in navigator ? "install_ios" : "install_menu"; // only Safari on a phone has that property
  button.hidden = !prompt;
  box.querySelector("[data-part=text]").textContent = say(prompt ? "install_why" : hint);
  button.onclick = async () => {
    box.hidden = true; // a prompt serves once
    await prompt.prompt();
    prompt = null;
  };
  box.hidden = !prompt && !matchMedia("(pointer: coarse)").matches;
}
