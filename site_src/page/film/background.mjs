// How the background moved from the first picture to another: what a hand did to the phone. No DOM here.
//
// Of the first picture, read small, the clearest corner of each field of a grid is kept as a patch, but for where the bar and the
// lifter are. In another picture each patch is looked for near where the last one had it, to a fraction of a pixel; the shift, turn
// and growth that most of them agree on are given, with what they still scatter by. Patches that go their own way count for nothing.

const SMALL = 480; // px of the longer side, as the picture is read
const GRID = [6, 4];
const HALF = 5; // a patch has 2 HALF + 1 px a side
const REACH = 3; // px from where it should be
const FAR = 8; // px, where nothing is known
const CORNER = 60; // least strength of a corner
const ALIKE = 0.8; // correlation of a patch that counts as found
const LEAST = 6; // patches that must agree
const SLACK = [6, 3, 1.5, 1]; // px, round by round, from which on a patch counts for nothing
const KEPT_CLEAR = 2.5; // radii of the plate to its left and right, from a little above it down
const ABOVE = 1.4;

/** @typedef {{ x: number, y: number, grey: Float32Array, size: number }} Spot in px of the small picture; its greys about their mean, and the root of their squares */
/** @typedef {{ x: number, y: number, a: number, b: number }} Similar x' = x + a u - b v, y' = y + b u + a v about the middle */

/** @param {Film.Pixels} pixels */
function greyOf({ data, width, height }) {
  const grey = new Float32Array(width * height);
  for (let i = 0; i < grey.length; i++) grey[i] = data[4 * i + 1];
  return { grey, width, height };
}

export class Background {
  /** @type {Spot[]} */
  #spots = [];
  /** @type {Similar} */
  #last = { x: 0, y: 0, a: 1, b: 0 };
  #sure = false; // whether the last one was found

  /** `rim`: the plate in the first picture. @param {Film.Size} picture @param {Film.Ring} rim */
  constructor(picture, rim) {
    this.picture = picture;
    this.rim = rim;
    this.every = Math.max(1, Math.round(Math.max(picture.width, picture.height) / SMALL));
    this.middle = { x: picture.width / 2 / this.every, y: picture.height / 2 / this.every };
  }

  /** Takes the patches of the first picture. @param {Film.Read} read */
  async start(read) {
    const { width, height } = this.picture;
    const { every } = this;
    const small = greyOf(await read({ left: 0, top: 0, width: width - (width % every), height: height - (height % every), every, light: true }));
    const edge = HALF + FAR + 2;
    const [wide, high] = [(small.width - 2 * edge) / GRID[0], (small.height - 2 * edge) / GRID[1]];
    for (let j = 0; j < GRID[1]; j++) {
      for (let i = 0; i < GRID[0]; i++) {
        const spot = this.#corner(small, edge + i * wide, edge + j * high, wide, high);
        if (spot) this.#spots.push(spot);
      }
    }
    return this.#spots.length >= LEAST;
  }

  /** The clearest corner of a field. @param {ReturnType<typeof greyOf>} small @param {number} left @param {number} top @param {number} wide @param {number} high @returns {Spot | null} */
  #corner(small, left, top, wide, high) {
    const { grey, width } = small;
    let best = { strength: CORNER, x: 0, y: 0 };
    for (let y = Math.round(top); y < top + high; y += 2) {
      for (let x = Math.round(left); x < left + wide; x += 2) {
        if (this.#isPlate(x, y)) continue;
        let [xx, xy, yy] = [0, 0, 0];
        for (let v = -HALF; v <= HALF; v += 2) {
          for (let u = -HALF; u <= HALF; u += 2) {
            const at = (y + v) * width + x + u;
            const [gx, gy] = [grey[at + 1] - grey[at - 1], grey[at + width] - grey[at - width]];
            xx += gx * gx; xy += gx * gy; yy += gy * gy;
          }
        }
        const strength = ((xx + yy) / 2 - Math.hypot((xx - yy) / 2, xy)) / 36; // the weaker of the two ways
        if (strength > best.strength) best = { strength, x, y };
      }
    }
    if (!best.x) return null;
    const side = 2 * HALF + 1;
    const patch = new Float32Array(side * side);
    for (let v = 0; v < side; v++) for (let u = 0; u < side; u++) patch[v * side + u] = grey[(best.y + v - HALF) * width + best.x + u - HALF];
    const mean = patch.reduce((sum, one) => sum + one, 0) / patch.length;
    const about = patch.map((one) => one - mean);
    return { x: best.x, y: best.y, grey: about, size: Math.sqrt(about.reduce((sum, one) => sum + one * one, 0)) };
  }

  /** Whether the plate may pass here, or the lifter be. @param {number} x @param {number} y */
  #isPlate(x, y) {
    const { rim, every } = this;
    const radius = Math.max(rim.a, rim.b);
    return Math.abs(x * every - rim.x) < KEPT_CLEAR * radius && y * every > rim.y - ABOVE * radius;
  }

  /** How the background lies in a picture; null where too little of it is found. @param {Film.Read} read @returns {Promise<Film.Moved | null>} */
  async step(read) {
    const { every, middle } = this;
    const reach = this.#sure ? REACH : FAR;
    const room = HALF + reach + 1;
    const pairs = [];
    for (const spot of this.#spots) {
      const at = apply(this.#last, spot.x - middle.x, spot.y - middle.y);
      const [x, y] = [Math.round(at.x + middle.x), Math.round(at.y + middle.y)];
      const part = { left: (x - room) * every, top: (y - room) * every, width: (2 * room + 1) * every, height: (2 * room + 1) * every, every, light: true };
      if (part.left < 0 || part.top < 0 || part.left + part.width > this.picture.width || part.top + part.height > this.picture.height) continue;
      const found = match(greyOf(await read(part)), spot, reach);
      if (found) pairs.push({ u: spot.x - middle.x, v: spot.y - middle.y, x: x + found.x - middle.x, y: y + found.y - middle.y });
    }
    const agreed = agree(pairs, this.#sure ? this.#last : null);
    this.#sure = Boolean(agreed);
    if (!agreed) return null;
    this.#last = agreed.way;
    const { x, y, a, b } = agreed.way;
    return { x: x * every, y: y * every, turn: (Math.atan2(b, a) * 180) / Math.PI, grow: Math.hypot(a, b), sd: agreed.sd * every };
  }
}

/** @param {Similar} way @param {number} u @param {number} v */
const apply = ({ x, y, a, b }, u, v) => ({ x: x + a * u - b * v, y: y + b * u + a * v });

/** Where a patch fits best in a small part round its place: {x, y} from the part's middle. @param {ReturnType<typeof greyOf>} part @param {Spot} spot @param {number} reach */
function match({ grey, width }, { grey: patch, size }, reach) {
  const side = 2 * HALF + 1;
  const scores = new Float32Array((2 * reach + 1) ** 2);
  const long = 2 * reach + 1;
  let best = 0;
  for (let y = 0; y < long; y++) {
    for (let x = 0; x < long; x++) {
      let sum = 0;
      let cross = 0;
      let square = 0;
      for (let v = 0; v < side; v++) {
        let at = (y + v + 1) * width + x + 1;
        for (let u = 0; u < side; u++, at++) {
          const one = grey[at];
          sum += one;
          square += one * one;
          cross += one * patch[v * side + u];
        }
      }
      const spread = square - (sum * sum) / (side * side);
      scores[y * long + x] = spread > 1 ? cross / Math.sqrt(spread) : 0;
      if (scores[y * long + x] > scores[best]) best = y * long + x;
    }
  }
  const [bx, by] = [best % long, Math.floor(best / long)];
  if (scores[best] < ALIKE * size || bx < 1 || by < 1 || bx > long - 2 || by > long - 2) return null;
  const between = (/** @type {number} */ before, /** @type {number} */ here, /** @type {number} */ after) => (before - after) / (2 * (before - 2 * here + after) || 1);
  return {
    x: bx - reach + between(scores[best - 1], scores[best], scores[best + 1]),
    y: by - reach + between(scores[best - long], scores[best], scores[best + long]),
  };
}

/** @typedef {{ u: number, v: number, x: number, y: number }} Pair */

/** The shift, turn and growth that most pairs agree on, and the error of the shift. @param {Pair[]} pairs @param {Similar | null} near */
function agree(pairs, near) {
  if (pairs.length < LEAST) return null;
  /** @type {Similar} */
  let way = near ?? { x: median(pairs.map(({ u, x }) => x - u)), y: median(pairs.map(({ v, y }) => y - v)), a: 1, b: 0 };
  let [count, square] = [0, 0];
  for (const slack of SLACK) {
    const weighed = pairs.map((pair) => {
      const at = apply(way, pair.u, pair.v);
      const far = Math.hypot(pair.x - at.x, pair.y - at.y) / slack;
      return { ...pair, w: far < 1 ? (1 - far * far) ** 2 : 0 };
    }).filter(({ w }) => w > 0);
    if (weighed.length < LEAST) return null;
    way = fit(weighed);
    const off = weighed.map(({ u, v, x, y, w }) => {
      const at = apply(way, u, v);
      return w * ((x - at.x) ** 2 + (y - at.y) ** 2);
    });
    count = weighed.reduce((sum, { w }) => sum + w, 0);
    square = off.reduce((sum, one) => sum + one, 0);
  }
  return { way, sd: Math.sqrt(square / Math.max(2 * count - 4, 1) / count) };
}

/** @param {(Pair & { w: number })[]} pairs @returns {Similar} */
function fit(pairs) {
  const total = pairs.reduce((sum, { w }) => sum + w, 0);
  const mean = (/** @type {(pair: Pair) => number} */ of) => pairs.reduce((sum, pair) => sum + pair.w * of(pair), 0) / total;
  const [mu, mv, mx, my] = [mean(({ u }) => u), mean(({ v }) => v), mean(({ x }) => x), mean(({ y }) => y)];
  let [along, across, size] = [0, 0, 0];
  for (const { u, v, x, y, w } of pairs) {
    along += w * ((u - mu) * (x - mx) + (v - mv) * (y - my));
    across += w * ((u - mu) * (y - my) - (v - mv) * (x - mx));
    size += w * ((u - mu) ** 2 + (v - mv) ** 2);
  }
  const [a, b] = size > 0 ? [along / size, across / size] : [1, 0];
  return { x: mx - a * mu + b * mv, y: my - b * mu - a * mv, a, b };
}

const median = (/** @type {number[]} */ values) => values.sort((one, other) => one - other)[values.length >> 1];
