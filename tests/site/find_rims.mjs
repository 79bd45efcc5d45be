// Looks for the rim round taps in raw pictures from standard input, for tests/site/test_rim.py:
//   node find_rims.mjs FOLDER_OF_THE_PAGE_SCRIPTS
// First a line of JSON {width, height, taps: [[{x, y}, …] of each picture, …]}, then each picture as width * height * 3 bytes.
// Prints one JSON list of lists of results, and the milliseconds a tap.

import { pathToFileURL } from "node:url";

const { findRim } = await import(pathToFileURL(`${process.argv[2]}/film/rim.mjs`).href);

const parts = [];
for await (const chunk of process.stdin) parts.push(chunk);
const all = Buffer.concat(parts);
const head = all.indexOf(10);
const { width, height, taps } = JSON.parse(all.subarray(0, head).toString());
const size = width * height * 3;

/** A reader of one picture: parts of it, each of its pixels the mean of every x every. */
const readerOf = (whole) => ({ left, top, width: wide, height: high, every }) => {
  const [w, h] = [wide / every, high / every];
  const data = new Uint8ClampedArray(w * h * 4);
  for (let y = 0; y < h; y++) {
    for (let x = 0; x < w; x++) {
      for (let c = 0; c < 3; c++) {
        let sum = 0;
        for (let j = 0; j < every; j++) for (let i = 0; i < every; i++) sum += whole[((top + y * every + j) * width + left + x * every + i) * 3 + c];
        data[(y * w + x) * 4 + c] = sum / (every * every);
      }
      data[(y * w + x) * 4 + 3] = 255;
    }
  }
  return { data, width: w, height: h };
};

const start = performance.now();
const results = [];
for (const [i, some] of taps.entries()) {
  const read = readerOf(all.subarray(head + 1 + i * size, head + 1 + (i + 1) * size));
  const found = [];
  for (const tap of some) found.push(await findRim(read, { width, height }, tap));
  results.push(found);
}
console.log(JSON.stringify({ results, milliseconds: (performance.now() - start) / taps.flat().length }));
