// Says the texts of a catalogue of words, in any language.

/** @typedef {string | { [form: string]: Text }} Text one sentence, or its forms by the count that it tells */

/**
 * → say(name, ...parts): the text of that name, its {} filled in one after the other; {1} stands for the second part wherever it is.
 * A text in forms ("one", "other", …: those of the language's plural) goes by the first number among the parts; forms inside it by the next.
 * @param {string} language @param {{ [name: string]: Text }} words
 */
export function sayer(language, words) {
  const plural = new Intl.PluralRules(language);
  return (/** @type {string} */ name, /** @type {unknown[]} */ ...parts) => {
    const counts = parts.filter((part) => typeof part === "number");
    let text = words[name];
    while (typeof text !== "string") text = text[plural.select(counts.shift() ?? 0)] ?? text.other;
    let next = 0;
    return text.replace(/\{(\d*)\}/g, (_, place) => String(parts[place === "" ? next++ : Number(place)]));
  };
}
