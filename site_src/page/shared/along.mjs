// From one lifter to the next: all who are kept here and not archived, by name, from any screen of a lifter, by a tap or Alt and a page key.

import { say } from "../../words.mjs";
import { byId, find } from "./find.mjs";
import { still } from "./press.mjs";
import { GUEST } from "./record.mjs";
import * as store from "./store.mjs";
import { keepInTab, keptInTab } from "./tab.mjs";

const KEY = "along"; // in the tab, so that the next page knows at once: reading many records takes its time
/** @typedef {{ id: string, name: string, archived: boolean }} One */
/**
 * `settle` writes what is under way; false where the device refused it. `all`: who is kept, where the screen knows.
 * @typedef {{ settle: () => unknown, current?: () => string | Promise<string>, all?: () => One[], go?: (id: string) => void }} Hooks
 */

/** @type {Hooks} */
let hooks;
/** @type {{ back: One, on: One } | null} */
let beside = null;

/** @param {One[]} all @param {string} id */
function besideOf(all, id) {
  const at = all.findIndex((one) => one.id === id);
  return at < 0 || all.length < 2 ? null : { back: all.at(at - 1) ?? all[at], on: all[(at + 1) % all.length], here: all[at], at };
}

/** @param {One[]} all @param {string} id */
async function show(all, id) {
  const found = besideOf(all, id);
  const box = byId("along");
  await still();
  beside = found;
  box.hidden = !found;
  document.documentElement.toggleAttribute("data-along", Boolean(found));
  if (!found) return;
  find(box, "strong").textContent = found.here.name;
  find(box, '[data-part="place"]').textContent = say("along_place", found.at + 1, all.length);
  find(byId("along-back"), "span").textContent = say("along_back", found.back.name);
  find(byId("along-on"), "span").textContent = found.on.name;
  byId("along-on").setAttribute("aria-label", say("along_on", found.on.name));
}

/** Shows who is here and who comes next; nobody while a guest is here. */
export async function showAlong() {
  if (!document.getElementById("along")) return;
  const id = await (hooks.current ?? store.current)();
  if (!id || id === GUEST) return show([], "");
  const inTab = /** @type {One[] | null} */ (keptInTab(KEY)) ?? [];
  const ids = hooks.all ? [] : await store.ids().catch(() => []);
  const known = ids.length > 0 && inTab.length === ids.length && inTab.every((one) => ids.includes(one.id));
  const all = known ? inTab : (hooks.all?.() ?? (await store.list().catch(() => []))).map(({ id: key, name, archived }) => ({ id: key, name, archived }));
  if (!known) keepInTab(KEY, all);
  return show(all.filter((one) => !one.archived || one.id === id), id);
}

/** @param {string} id */
async function goTo(id) {
  if ((await hooks.settle()) === false) return;
  const there = await store.read(id).catch(() => null);
  if (!there) return showAlong();
  if (hooks.go) return hooks.go(id);
  await store.setCurrent(id);
  if (location.hash) location.replace(location.pathname + location.search);
  else location.reload();
}

/** @param {Hooks} given */
export function listenToAlong(given) {
  hooks = given;
  if (!document.getElementById("along")) return;
  byId("along-back").addEventListener("click", () => { if (beside) goTo(beside.back.id); });
  byId("along-on").addEventListener("click", () => { if (beside) goTo(beside.on.id); });
  addEventListener("keydown", (event) => {
    if (!event.altKey || event.ctrlKey || !beside || !["PageDown", "PageUp"].includes(event.key)) return;
    event.preventDefault();
    goTo(beside[event.key === "PageDown" ? "on" : "back"].id);
  });
}
