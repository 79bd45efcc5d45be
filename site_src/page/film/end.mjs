// How large the round end of the sleeve is in the picture, round where it was marked: against the rim it tells how large the plate
// is. No DOM here.
//
// Circles round the mark are weighed by how many of their rays cross an edge; of those that are clear the largest counts, as the end
// of a sleeve has rings too. Where none is clear nothing is said.

import { sizeOf, fromAxes } from "./outline.mjs";

const SIZES = [0.09, 0.21]; // radii of the plate: of a sleeve 5 cm thick before plates of 28 to 50 cm
const OFF = 0.07; // radii of the plate that a mark may be off
const SMALLEST = 5; // px
const SPOKES = 40;
const CLEAR = 0.62; // mean of the rays' votes
const LESS = 0.06; // by which a larger circle may be less clear
const STEEP = 9; // grey levels a px that are half an edge

/** The radius of the end, px; null where none is clear. @param {Film.Read} read @param {Film.Size} picture @param {Film.Point} mark @param {Film.Ring} rim @returns {Promise<number | null>} */
export async function findEnd(read, picture, mark, rim) {
  const size = sizeOf(fromAxes(rim));
  const [least, most] = SIZES.map((one) => one * size);
  const far = Math.ceil(OFF * size);
  const room = Math.ceil(most + far + 4);
  const [left, top] = [Math.floor(mark.x) - room, Math.floor(mark.y) - room];
  const long = 2 * room + 1;
  if (1.2 * least < SMALLEST || left < 0 || top < 0 || left + long > picture.width || top + long > picture.height) return null;
  const { data } = await read({ left, top, width: long, height: long, every: 1 });
  /** How steep the colours are across a circle at a place. @param {number} x @param {number} y @param {number} c @param {number} s */
  const steep = (x, y, c, s) => {
    const at = 4 * (Math.round(y) * long + Math.round(x));
    let sum = 0;
    for (let k = 0; k < 3; k++) {
      const along = data[at + 4 + k] - data[at - 4 + k];
      const down = data[at + 4 * long + k] - data[at - 4 * long + k];
      sum += ((along * c + down * s) / 2) ** 2;
    }
    return Math.sqrt(sum / 3);
  };
  /** @type {{ r: number, votes: number }[]} */
  const best = [];
  for (let r = least; r <= most; r += 0.5) {
    let votes = 0;
    for (let y = -far; y <= far; y++) {
      for (let x = -far; x <= far; x++) {
        let sum = 0;
        for (let i = 0; i < SPOKES; i++) {
          const [c, s] = UNITS[i];
          const one = steep(mark.x - left - 0.5 + x + r * c, mark.y - top - 0.5 + y + r * s, c, s);
          sum += one / (one + STEEP);
        }
        votes = Math.max(votes, sum / SPOKES);
      }
    }
    best.push({ r, votes });
  }
  const top1 = Math.max(...best.map(({ votes }) => votes));
  if (top1 < CLEAR) return null;
  const peaks = best.filter(({ votes }, i) => votes > top1 - LESS && votes >= (best[i - 1]?.votes ?? 0) && votes >= (best[i + 1]?.votes ?? 0));
  return peaks.at(-1)?.r ?? null;
}

const UNITS = Array.from({ length: SPOKES }, (_, i) => [Math.cos((2 * Math.PI * i) / SPOKES), Math.sin((2 * Math.PI * i) / SPOKES)]);
