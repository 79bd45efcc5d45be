// Lays a response of the core into the places that the page was built with.

const SPEAK_AFTER_MS = 700;
const setup = document.querySelector("#setup");
const spoken = document.querySelector("#spoken");
let speaking;

const TAGS = { example: "Example", own: "Your setup", old: "From your last good numbers" };

function fill(box, values) {
  for (const [name, value] of Object.entries(values)) {
    const place = box.querySelector(`[data-part="${name}"]`);
    if (place) place.textContent = value;
  }
}

function items(list, entries) {
  list.replaceChildren(...entries.map((entry) => {
    const item = document.createElement("li");
    item.textContent = entry.message;
    return item;
  }));
}

function row([name, value]) {
  const line = document.createElement("tr");
  const head = document.createElement("th");
  head.scope = "row";
  head.textContent = name;
  const cell = document.createElement("td");
  cell.textContent = value;
  line.append(head, cell);
  return line;
}

function drawing(svg) {
  const parsed = new DOMParser().parseFromString(svg, "image/svg+xml");
  return document.importNode(parsed.documentElement, true);
}

/** Reads the result out once typing has come to rest, not at every key. */
function speak(response) {
  clearTimeout(speaking);
  speaking = setTimeout(() => {
    const numbers = [...response.headline, ...response.measures];
    spoken.textContent = numbers.map((n) => `${n.label} ${n.value} ${n.unit}`).join(", ");
  }, SPEAK_AFTER_MS);
}

export function render(response, { age, from }) {
  for (const number of [...response.headline, ...response.measures]) {
    const box = setup.querySelector(`[data-key="${number.key}"]`);
    if (box) fill(box, number);
  }
  const gain = setup.querySelector('[data-part="gain"]');
  gain.hidden = !response.gain;
  gain.textContent = response.gain?.text ?? "";
  setup.querySelector('[data-part="svg"]').replaceChildren(drawing(response.figure.svg));
  setup.querySelector('[data-part="figure-text"]').textContent = response.figure.text;
  setup.querySelector('[data-part="figure-table"]').replaceChildren(...response.figure.table.map(row));
  items(document.querySelector('[data-part="reasons"]'), response.reasons);
  items(document.querySelector('[data-part="warnings"]'), response.warnings.filter((w) => !w.field));
  showAge(age, from);
  if (age === "own") speak(response);
}

/** Whose numbers the result belongs to: example, own, or old (the last good ones). */
export function showAge(age, from) {
  setup.dataset.age = age;
  fill(setup.querySelector("#age"), { tag: TAGS[age], ...(from === undefined ? {} : { from }) });
}

export function age() {
  return setup.dataset.age;
}
