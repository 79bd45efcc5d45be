// Lists that are laid out anew only when they say something else: a button under a finger must stay the same element.

/** @type {WeakMap<Element, string>} */
const shownAs = new WeakMap();

/** The items of `data` (plain data) in a list; left alone while the data is the same. @template T @param {Element} list @param {T[]} data @param {(one: T) => Element} itemOf */
export function fillList(list, data, itemOf) {
  const now = JSON.stringify(data);
  if (shownAs.get(list) === now) return;
  shownAs.set(list, now);
  list.replaceChildren(...data.map(itemOf));
}

/** Puts a text into an element, its dates unbroken at the end of a line. @param {Element} place @param {string} text */
export function putWithDates(place, text) {
  place.replaceChildren(...text.split(/(\d{4}-\d\d-\d\d)/).map((part, i) => {
    if (i % 2 === 0) return part;
    return Object.assign(document.createElement("span"), { className: "date", textContent: part });
  }));
}
