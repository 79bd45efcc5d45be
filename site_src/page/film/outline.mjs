// The outline of a plate in a picture: an ellipse, and how well the picture's edges agree with it.
//
// An outline is {x, y, xx, xy, yy}: its middle, and the symmetric matrix that makes the ellipse of a unit circle (px).
// Pixels as in the core's film check: a pixel's middle is at .5. No DOM here; it also runs in Node.

export const RAYS = 96;
const SUB = 4; // rays beside each other that make one: less noise
const FAR = 12; // px: strips that reach further take every second of them
const FINE = derivative(1.3);
const COARSE = derivative(3.6); // for edges that movement has blurred

/** A filter that answers with H in the middle of a step of height H, smoothed by that width. @param {number} sd */
function derivative(sd) {
  const half = Math.ceil(2.6 * sd);
  const taps = Float32Array.from({ length: 2 * half + 1 }, (_, i) => (i - half) * Math.exp(-((i - half) ** 2) / (2 * sd * sd)));
  const gain = taps.slice(half).reduce((sum, tap) => sum + tap, 0);
  return taps.map((tap) => tap / gain);
}

/** @param {number} x @param {number} y @param {number} radius @returns {Film.Outline} */
export const circle = (x, y, radius) => ({ x, y, xx: radius, xy: 0, yy: radius });

/** The radius of the circle of the same area. @param {Pick<Film.Outline, "xx" | "xy" | "yy">} outline */
export const sizeOf = ({ xx, xy, yy }) => Math.sqrt(Math.abs(xx * yy - xy * xy));

/** Semi-axes with a >= b, and the tilt of a from +x toward +y in degrees, -90 < tilt <= 90. @param {Pick<Film.Outline, "xx" | "xy" | "yy">} outline @returns {Film.Axes} */
export function axesOf({ xx, xy, yy }) {
  const mean = (xx + yy) / 2;
  const apart = Math.hypot((xx - yy) / 2, xy);
  const tilt = (Math.atan2(2 * xy, xx - yy) * 90) / Math.PI;
  return { a: mean + apart, b: mean - apart, tilt: tilt <= -90 ? tilt + 180 : tilt };
}

/** The outline with these axes (tilt in degrees). @param {Film.Point & { a: number, b: number, tilt?: number }} ring @returns {Film.Outline} */
export function fromAxes({ x, y, a, b, tilt = 0 }) {
  const [c, s] = [Math.cos((tilt * Math.PI) / 180), Math.sin((tilt * Math.PI) / 180)];
  return { x, y, xx: a * c * c + b * s * s, xy: (a - b) * c * s, yy: a * s * s + b * c * c };
}

/** A part of a picture: RGBA bytes of width x height pixels, whose upper left corner is at (left, top) and 1/scale px apart. */
export class Patch {
  /** @param {Film.Pixels} pixels */
  constructor({ data, width, height }, { left = 0, top = 0, scale = 1 } = {}) {
    this.data = data;
    this.width = width;
    this.height = height;
    this.left = left;
    this.top = top;
    this.scale = scale;
  }

  /** An outline of the whole picture in the pixels of this patch, and back. @param {Film.Outline} outline @returns {Film.Outline} */
  into({ x, y, xx, xy, yy }) {
    const k = this.scale;
    return { x: (x - this.left) * k, y: (y - this.top) * k, xx: xx * k, xy: xy * k, yy: yy * k };
  }

  /** @param {Film.Outline} outline @returns {Film.Outline} */
  back({ x, y, xx, xy, yy }) {
    const k = this.scale;
    return { x: x / k + this.left, y: y / k + this.top, xx: xx / k, xy: xy / k, yy: yy / k };
  }
}

const SUB_UNITS = Float32Array.from({ length: RAYS * SUB * 2 }, (_, i) => {
  const angle = (2 * Math.PI * ((i >> 1) - (SUB - 1) / 2)) / (RAYS * SUB);
  return i % 2 ? Math.sin(angle) : Math.cos(angle);
});

/** @typedef {{ colour: Float32Array, steep: Float32Array, ballots: Float32Array }} Arrays */

/** @type {Map<number, Arrays>} */
const kept = new Map(); // reach → arrays that strips of that reach use in turn: following makes no garbage

/** @param {number} reach */
function arraysFor(reach) {
  let arrays = kept.get(reach);
  if (!arrays) {
    if (kept.size > 12) kept.clear();
    const places = RAYS * (2 * reach + 1);
    arrays = { colour: new Float32Array(places * 3), steep: new Float32Array(places), ballots: new Float32Array(places) };
    kept.set(reach, arrays);
  }
  return arrays;
}

/**
 * The picture unrolled along the normals of an outline, `reach` px inward and outward: how steep it is at each place,
 * where its edges are, and which colour lies inside of them. The next strip of the same reach takes its place.
 */
export class Strip {
  /**
   * `blur(nx, ny)`: by how many px the picture is smeared along that direction.
   * @param {Patch} patch @param {Film.Outline} outline @param {number} reach @param {(nx: number, ny: number) => number} blur
   */
  constructor(patch, outline, reach, blur = () => 0) {
    const { colour, steep, ballots } = arraysFor(reach);
    this.colour = colour;
    this.steep = steep;
    this.ballots = ballots;
    this.reach = reach;
    this.long = 2 * reach + 1;
    this.normals = new Float32Array(RAYS * 2);
    this.units = new Float32Array(RAYS * 2);
    this.seen = new Uint8Array(RAYS); // whether the ray's middle lies in the picture
    this.#unroll(patch, outline);
    this.#differ(blur);
  }

  /** @param {Patch} patch @param {Film.Outline} outline */
  #unroll(patch, { x, y, xx, xy, yy }) {
    const { data, width, height } = patch;
    const { reach, long, colour } = this;
    const det = xx * yy - xy * xy;
    const right = width - 1.001;
    const bottom = height - 1.001;
    const share = reach > FAR ? 2 / SUB : 1 / SUB;
    colour.fill(0);
    for (let ray = 0; ray < RAYS; ray++) {
      const ux = Math.cos((2 * Math.PI * ray) / RAYS);
      const uy = Math.sin((2 * Math.PI * ray) / RAYS);
      const mx = (yy * ux - xy * uy) / det;
      const my = (xx * uy - xy * ux) / det;
      const norm = Math.sqrt(mx * mx + my * my);
      const nx = mx / norm;
      const ny = my / norm;
      this.normals[2 * ray] = nx;
      this.normals[2 * ray + 1] = ny;
      this.units[2 * ray] = ux;
      this.units[2 * ray + 1] = uy;
      const px = x + xx * ux + xy * uy;
      const py = y + xy * ux + yy * uy;
      this.seen[ray] = px > 3 && py > 3 && px < width - 3 && py < height - 3 ? 1 : 0;
      for (let sub = reach > FAR ? 1 : 0; sub < SUB; sub += reach > FAR ? 2 : 1) {
        const vx = SUB_UNITS[2 * (ray * SUB + sub)];
        const vy = SUB_UNITS[2 * (ray * SUB + sub) + 1];
        const bx = x + xx * vx + xy * vy - 0.5;
        const by = y + xy * vx + yy * vy - 0.5;
        let at = ray * long * 3;
        for (let d = -reach; d <= reach; d++, at += 3) {
          let qx = bx + nx * d;
          let qy = by + ny * d;
          qx = qx < 0 ? 0 : qx > right ? right : qx;
          qy = qy < 0 ? 0 : qy > bottom ? bottom : qy;
          const ix = qx | 0;
          const iy = qy | 0;
          const fx = (qx - ix) * share;
          const gx = share - fx;
          const fy = qy - iy;
          const w00 = gx * (1 - fy);
          const w10 = fx * (1 - fy);
          const w01 = gx * fy;
          const w11 = fx * fy;
          const p = (iy * width + ix) * 4;
          const q = p + width * 4;
          colour[at] += data[p] * w00 + data[p + 4] * w10 + data[q] * w01 + data[q + 4] * w11;
          colour[at + 1] += data[p + 1] * w00 + data[p + 5] * w10 + data[q + 1] * w01 + data[q + 5] * w11;
          colour[at + 2] += data[p + 2] * w00 + data[p + 6] * w10 + data[q + 2] * w01 + data[q + 6] * w11;
        }
      }
    }
  }

  /** @param {(nx: number, ny: number) => number} blur */
  #differ(blur) {
    const { long, colour, steep, normals } = this;
    for (let ray = 0; ray < RAYS; ray++) {
      const taps = blur(normals[2 * ray], normals[2 * ray + 1]) > 3 ? COARSE : FINE;
      const half = taps.length >> 1;
      const row = ray * long;
      for (let k = 0; k < long; k++) {
        let r = 0;
        let g = 0;
        let b = 0;
        for (let i = 1; i <= half; i++) { // the filter is odd
          const up = (row + (k + i < long ? k + i : long - 1)) * 3;
          const down = (row + (k - i > 0 ? k - i : 0)) * 3;
          const tap = taps[half + i];
          r += tap * (colour[up] - colour[down]);
          g += tap * (colour[up + 1] - colour[down + 1]);
          b += tap * (colour[up + 2] - colour[down + 2]);
        }
        steep[row + k] = Math.sqrt((r * r + g * g + b * b) / 3);
      }
    }
  }
}
