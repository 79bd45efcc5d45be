// Which lift this page is of: the one it was built for, else the one that was used last in this tab, or on this device.

import { PAGES, UNNAMED } from "../../lifts.mjs";
import { findAll } from "./find.mjs";
import { HERE, keepInTab, keptInTab } from "./tab.mjs";

const NAME = "lift";
const several = Object.keys(PAGES).length > 1;

/** @param {(kept: Storage) => string | null | void} work */
function onDevice(work) {
  try {
    return work(localStorage) ?? null; // beside the database, so that it is there before anything is drawn
  } catch {
    return null;
  }
}

const ofPage = globalThis.document?.documentElement.dataset.lift;
const last = () => [keptInTab(NAME), onDevice((kept) => kept.getItem(`${HERE}|${NAME}`))].find((lift) => lift && Object.hasOwn(PAGES, lift));

/** The key of the lift. */
export const LIFT = ofPage ?? (several && last() ? last() : UNNAMED);

/** The address of a lift's page, on which it is fitted. */
export const pageOf = (lift = LIFT) => PAGES[lift] ?? "./";

/** A request to the core, the lift named where it must be. @template {object} R @param {R} request @returns {R} */
export const ofLiftHere = (request) => (LIFT === UNNAMED ? request : { ...request, lift: LIFT });

/** This lift is the last one used; of the one that comes first nothing is kept on the device. */
export function useLift(lift = LIFT) {
  if (!several) return;
  keepInTab(NAME, lift);
  onDevice((kept) => (lift === UNNAMED ? kept.removeItem(`${HERE}|${NAME}`) : kept.setItem(`${HERE}|${NAME}`, lift)));
}

/** On a page of no lift's own: its texts are those of the lift in view, and another lift comes into view by a tap. @param {() => unknown} beforeReload */
export function showLift(beforeReload) {
  if (ofPage) return;
  for (const text of findAll(document, "[data-of-lift]")) text.hidden = text.dataset.ofLift !== LIFT;
  for (const link of findAll(document, ".lifts [data-lift]")) {
    const lift = link.dataset.lift ?? UNNAMED;
    if (lift === LIFT) link.setAttribute("aria-current", "page");
    else link.removeAttribute("aria-current");
    link.addEventListener("click", async (event) => {
      event.preventDefault();
      await beforeReload();
      useLift(lift);
      location.reload();
    });
  }
}

/** Ways to the fit screen lead to the page of this lift. */
export function leadToLift() {
  if (pageOf() === "./") return;
  for (const link of document.querySelectorAll('a[href="./"]:not([data-lift]), a[href^="./#"]')) {
    link.setAttribute("href", (link.getAttribute("href") ?? "").replace("./", pageOf()));
  }
}
