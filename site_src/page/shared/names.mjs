// What the numbers and choices of the lifts' forms are called: the page was built with it.

import { byId, findAll } from "./find.mjs";

const names = new Map(findAll(byId("names", HTMLTemplateElement).content, "[data-key]").map((one) => [one.dataset.key, one.textContent]));

/** The name of a number, of a choice ("rules") or of its value ("rules/ipf"); what this page does not know goes by its key. @param {string} key */
export const nameOf = (key) => names.get(key) ?? key.split("/").at(-1) ?? "";
