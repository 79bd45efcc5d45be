// SVG text of the core as an element of this page.

/** @param {string} text */
export function svgOf(text) {
  const parsed = new DOMParser().parseFromString(text, "image/svg+xml");
  return document.importNode(parsed.documentElement, true);
}
