// Elements made by scripts, and the lists and texts they stand in.

/**
 * @typedef {{ [name: string]: string | number | boolean | null | undefined | ((event: Event) => void) }} Attributes a function listens for the
 *   event of that name; true stands without a value; false and nothing are left out
 * @typedef {string | Node | Attributes | null | undefined | false} Part a text, an element, or attributes; nothing is left out
 */

/** @template {Element} E @param {E} element @param {Part[]} parts */
function put(element, parts) {
  for (const part of parts) {
    if (!part) continue;
    if (typeof part === "string" || part instanceof Node) element.append(part);
    else for (const [name, value] of Object.entries(part)) setOne(element, name, value);
  }
  return element;
}

/** @param {Element} element @param {string} name @param {Attributes[string]} value */
function setOne(element, name, value) {
  if (typeof value === "function") element.addEventListener(name, value);
  else if (value !== false && value !== null && value !== undefined) element.setAttribute(name, value === true ? "" : String(value));
}

/** make("p", { class: "quiet" }, "a text", child, …). @template {keyof HTMLElementTagNameMap} N @param {N} name @param {Part[]} parts */
export const make = (name, ...parts) => put(document.createElement(name), parts);

/** The same of a drawing. @template {keyof SVGElementTagNameMap} N @param {N} name @param {Part[]} parts */
export const makeSvg = (name, ...parts) => put(document.createElementNS("http://www.w3.org/2000/svg", name), parts);

/** A button that does something. @param {string} text @param {(event: Event) => void} click @param {Part[]} parts */
export const button = (text, click, ...parts) => make("button", { type: "button", click }, text, ...parts);

/** A row of a table; its head is a text, or its own `th`. @param {string | HTMLTableCellElement} head @param {(string | HTMLTableCellElement)[]} cells */
export function row(head, ...cells) {
  const first = typeof head === "string" ? make("th", { scope: "row" }, head) : head;
  return make("tr", first, ...cells.map((cell) => (typeof cell === "string" ? make("td", cell) : cell)));
}

/** Lets a place say a text, read out once while it stays the same; `box` around it is hidden while there is none. @param {Element} place @param {string | null | undefined} text */
export function showText(place, text, box = place) {
  const said = text ?? "";
  if (place.textContent !== said) place.textContent = said;
  box.toggleAttribute("hidden", !said);
}

/** An attribute that changes at each frame: what is as it was is not laid out anew. @param {Element} element @param {string} name @param {string} value */
export function change(element, name, value) {
  if (element.getAttribute(name) !== value) element.setAttribute(name, value);
}

/** A short text that changes at each frame: its node stays. @param {Element} place @param {string} text */
export function changeText(place, text) {
  const { firstChild: node } = place;
  if (!(node instanceof Text) || node.nextSibling) place.textContent = text;
  else if (node.data !== text) node.data = text;
}

/** @type {WeakMap<Element, { data: string, item: Element }[]>} */
const filled = new WeakMap();

/**
 * A list with an item for each of `data` (plain data), and those items. One whose data is there already stays the same element: a finger
 * or the focus may be on it. Every item of the list must come from here.
 * @template T @template {Element} E @param {Element} list @param {T[]} data @param {(one: T) => E} itemOf @returns {E[]}
 */
export function fillList(list, data, itemOf) {
  const before = [...(filled.get(list) ?? [])];
  const now = data.map((one) => {
    const text = JSON.stringify(one);
    const place = before.findIndex((old) => old.data === text);
    return place < 0 ? { data: text, item: itemOf(one) } : before.splice(place, 1)[0];
  });
  filled.set(list, now);
  const items = /** @type {E[]} */ (now.map(({ item }) => item));
  const focused = document.activeElement;
  for (const old of [...list.children]) if (!items.includes(/** @type {E} */ (old))) old.remove();
  items.forEach((item, i) => { if (list.children[i] !== item) list.insertBefore(item, list.children[i] ?? null); });
  if (focused instanceof HTMLElement && focused !== document.activeElement && list.contains(focused)) focused.focus({ preventScroll: true }); // it was moved
  return items;
}

/** A text whose dates do not break at the end of a line. @param {string} text @returns {(string | HTMLElement)[]} */
export const withDates = (text) => text.split(/(\d{4}-\d\d-\d\d)/).map((part, i) => (i % 2 ? make("span", { class: "date" }, part) : part));
