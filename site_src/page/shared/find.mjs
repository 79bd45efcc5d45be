// Elements of the page: one that is missing, or of another kind than was asked for, is a fault of the page and says so.

/** @template {Element} E @param {unknown} found @param {new () => E} kind @param {string} name @returns {E} */
function checked(found, kind, name) {
  if (found instanceof kind) return found;
  throw new TypeError(`${name} is ${found instanceof Element ? `a ${found.localName}, no ${kind.name}` : "not there"}`);
}

/** The element of that id. @template {Element} [E=HTMLElement] @param {string} id @param {new () => E} [kind] */
export function byId(id, kind = /** @type {new () => E} */ (/** @type {unknown} */ (HTMLElement))) {
  return checked(document.getElementById(id), kind, `#${id}`);
}

/** The first one inside a box. @template {Element} [E=HTMLElement] @param {ParentNode} box @param {string} selector @param {new () => E} [kind] */
export function find(box, selector, kind = /** @type {new () => E} */ (/** @type {unknown} */ (HTMLElement))) {
  return checked(box.querySelector(selector), kind, selector);
}

/** All of them. @template {Element} [E=HTMLElement] @param {ParentNode} box @param {string} selector @param {new () => E} [kind] */
export function findAll(box, selector, kind = /** @type {new () => E} */ (/** @type {unknown} */ (HTMLElement))) {
  return Array.from(box.querySelectorAll(selector), (one) => checked(one, kind, selector));
}

/** The nearest one around where an event came from; null for none. @param {Event} event @param {string} selector @returns {HTMLElement | null} */
export function around({ target }, selector) {
  return target instanceof Element ? target.closest(selector) : null;
}

/** An input of a form. @param {HTMLFormElement} form @param {string} name */
export function inputNamed(form, name) {
  return checked(form.elements.namedItem(name), HTMLInputElement, name);
}

/** The radio buttons of one name: their `value` is that of the chosen one. @param {HTMLFormElement} form @param {string} name */
export function radiosNamed(form, name) {
  const found = form.elements.namedItem(name);
  if (found instanceof RadioNodeList) return found;
  throw new TypeError(`${name} is no group of radio buttons`);
}
