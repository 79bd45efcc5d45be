// Follows a plate through raw pictures from standard input, for tests/site/test_follow.py:
//   node follow_frames.mjs FOLDER_OF_THE_PAGE_SCRIPTS
// First a line of JSON {width, height, times, mark: {x, y, a, b, tilt}, marks?: {index: mark where it starts anew}, behind?: true}, then
// each picture as width * height * 3 bytes. Prints one JSON list of results, and the milliseconds per picture. `behind`: the background
// is followed too.

import { pathToFileURL } from "node:url";

const page = (name) => import(pathToFileURL(`${process.argv[2]}/film/${name}`).href);
const { Background } = await page("background.mjs");
const { Follower } = await page("follow.mjs");
const { fromAxes } = await page("outline.mjs");

async function* chunks() {
  for await (const chunk of process.stdin) yield chunk;
}

let rest = Buffer.alloc(0);
const source = chunks();
async function more() {
  const { value, done } = await source.next();
  if (done) throw new Error("the pictures end too early");
  rest = rest.length ? Buffer.concat([rest, value]) : value;
}
while (rest.indexOf(10) < 0) await more();
const { width, height, times, mark, marks = {}, behind = false } = JSON.parse(rest.subarray(0, rest.indexOf(10)).toString());
rest = rest.subarray(rest.indexOf(10) + 1);

const size = width * height * 3;
const whole = Buffer.alloc(size);
async function picture() {
  let filled = 0;
  while (filled < size) {
    if (!rest.length) await more();
    const take = Math.min(rest.length, size - filled);
    rest.copy(whole, filled, 0, take);
    rest = rest.subarray(take);
    filled += take;
  }
}

/** A part of the picture, each of its pixels the mean of every x every, as the browser's own shrinking gives it. */
function read({ left, top, width: wide, height: high, every }) {
  const [w, h] = [wide / every, high / every];
  const data = new Uint8ClampedArray(w * h * 4);
  for (let y = 0; y < h; y++) {
    for (let x = 0; x < w; x++) {
      for (let c = 0; c < 3; c++) {
        let sum = 0;
        for (let j = 0; j < every; j++) {
          for (let i = 0; i < every; i++) sum += whole[((top + y * every + j) * width + left + x * every + i) * 3 + c];
        }
        data[(y * w + x) * 4 + c] = sum / (every * every);
      }
      data[(y * w + x) * 4 + 3] = 255;
    }
  }
  return { data, width: w, height: h };
}

let follower = null;
const background = behind ? new Background({ width, height }, mark) : null;
let found = false;
const results = [];
let spent = 0;
for (const [index, time] of times.entries()) {
  await picture();
  const start = performance.now();
  const first = index ? marks[index] : mark;
  if (first) follower = new Follower({ width, height }, fromAxes(first));
  results.push(await (first ? follower.start(read, time) : follower.step(read, time)));
  if (background && !index) found = await background.start(read);
  const moved = found ? await background.step(read) : null;
  if (moved) results[index].moved = moved;
  spent += performance.now() - start;
}
console.log(JSON.stringify({ results, milliseconds: spent / times.length }));
