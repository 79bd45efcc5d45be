// The edges along the rays of an unrolled picture, and the ellipse that most of them agree on.

import { RAYS } from "./outline.mjs";

const EDGES = 4; // the strongest edges of a ray, at most

/** Solves the symmetric 5 x 5 system and inverts it; null where it is singular. @param {number[][]} matrix @param {number[]} right */
function solve(matrix, right) {
  const n = right.length;
  const rows = matrix.map((row, i) => [...row, right[i], ...row.map((_, j) => (i === j ? 1 : 0))]);
  for (let i = 0; i < n; i++) {
    let pivot = i;
    for (let j = i + 1; j < n; j++) if (Math.abs(rows[j][i]) > Math.abs(rows[pivot][i])) pivot = j;
    if (Math.abs(rows[pivot][i]) < 1e-9) return null;
    [rows[i], rows[pivot]] = [rows[pivot], rows[i]];
    const lead = rows[i][i];
    rows[i] = rows[i].map((value) => value / lead);
    for (let j = 0; j < n; j++) {
      if (j === i) continue;
      const times = rows[j][i];
      if (times) rows[j] = rows[j].map((value, k) => value - times * rows[i][k]);
    }
  }
  return { answer: rows.map((row) => row[n]), inverse: rows.map((row) => row.slice(n + 1)) };
}

/** @param {Film.Outline} outline @param {number[]} change of x, y, xx, xy, yy @returns {Film.Outline} */
export const moved = (outline, [x, y, xx, xy, yy]) => ({ x: outline.x + x, y: outline.y + y, xx: outline.xx + xx, xy: outline.xy + xy, yy: outline.yy + yy });

/** @typedef {{ contrast?: number, rim?: Float32Array | null, heights?: Float32Array | null }} Known */

const some = new Float32Array(400); // places of a strip, to tell how steep it usually is

/** The edges of each ray: where (px outward from the outline) and how clear they are, 0 to 1. */
export class Edges {
  /** `contrast`: the usual height of the rim's edge, `rim`: its colours, `heights`: its height ray by ray; as far as known. @param {import("./outline.mjs").Strip} strip @param {Known} known */
  constructor(strip, { contrast = 0, rim = null, heights = null } = {}) {
    this.strip = strip;
    this.count = new Uint8Array(RAYS);
    this.at = new Float32Array(RAYS * EDGES);
    this.clear = new Float32Array(RAYS * EDGES);
    this.height = new Float32Array(RAYS * EDGES);
    for (let i = 0; i < some.length; i++) some[i] = strip.steep[Math.floor((i / some.length) * strip.steep.length)];
    some.sort();
    const noise = some[100];
    const least = Math.max(1.5, 2 * noise, 0.15 * contrast);
    for (let ray = 0; ray < RAYS; ray++) {
      if (strip.seen[ray]) this.#find(ray, least, Math.max(0.4 * Math.min(contrast, heights?.[ray] ?? contrast), least), rim);
    }
  }

  /** @param {number} ray @param {number} least @param {number} usual @param {Float32Array | null} rim */
  #find(ray, least, usual, rim) {
    const { steep, long, reach, colour } = this.strip;
    const row = ray * long;
    const found = [];
    for (let k = 2; k < long - 2; k++) {
      const top = steep[row + k];
      if (top < least || top < steep[row + k - 1] || top <= steep[row + k + 1]) continue;
      let [sum, middle] = [0, 0];
      for (let step = -1; step <= 1; step += 2) { // outward and inward, down to half of the top or to the next valley
        for (let j = step < 0 ? k : k + 1; j >= 0 && j < long; j += step) {
          const value = steep[row + j] - 0.5 * top;
          const turns = j !== k && Math.abs(j - k) > 1 && steep[row + j] > steep[row + j - step];
          if (value <= 0 || turns) break;
          sum += value;
          middle += value * j;
        }
      }
      let clear = top / (top + usual);
      if (rim) {
        const inside = row + Math.max(0, k - 4);
        let far = 0;
        for (let j = 0; j < 3; j++) {
          for (let c = 0; c < 3; c++) far += (colour[(inside + j) * 3 + c] - rim[ray * 3 + c]) ** 2 / 9;
        }
        clear *= 0.1 + 0.9 * Math.exp(-far / (2 * 28 * 28));
      }
      found.push({ at: middle / sum - reach, clear, height: top });
    }
    found.sort((one, other) => other.clear - one.clear);
    this.count[ray] = Math.min(found.length, EDGES);
    for (let i = 0; i < this.count[ray]; i++) {
      this.at[ray * EDGES + i] = found[i].at;
      this.clear[ray * EDGES + i] = found[i].clear;
      this.height[ray * EDGES + i] = found[i].height;
    }
  }

  /** The edge of that ray nearest to a place, weighed by how clear it is; -1 where it has none. @param {number} ray @param {number} place @param {number} width */
  nearest(ray, place, width) {
    let [best, least] = [-1, 0];
    for (let i = ray * EDGES; i < ray * EDGES + this.count[ray]; i++) {
      const merit = this.clear[i] * Math.exp(-((this.at[i] - place) ** 2) / (2 * width * width));
      if (merit > least) [best, least] = [i, merit];
    }
    return best;
  }

  /** How much each place of each ray has for it: 1 on a clear edge, 0 at `width` px from any. @param {number} width */
  ballots(width) {
    const { long, reach, ballots } = this.strip;
    ballots.fill(0);
    for (let ray = 0; ray < RAYS; ray++) {
      for (let i = ray * EDGES; i < ray * EDGES + this.count[ray]; i++) {
        const middle = this.at[i] + reach;
        for (let k = Math.max(0, Math.ceil(middle - width)); k <= Math.min(long - 1, middle + width); k++) {
          const value = this.clear[i] * (1 - Math.abs(k - middle) / width);
          if (value > ballots[ray * long + k]) ballots[ray * long + k] = value;
        }
      }
    }
    return ballots;
  }

  /** Move and growth (px) for which most edges vote; `loose`: how far (px, 1 SD) they are expected to be from none. @param {number} width @param {number} step @param {{ move: number, grow: number, loose: { move: number, grow: number } }} most */
  vote(width, step, { move, grow, loose }) {
    const { long, reach, normals, seen } = this.strip;
    const ballots = this.ballots(width);
    let best = { votes: -Infinity, move: [0, 0, 0] };
    const rays = Uint8Array.from([...seen.keys()].filter((ray) => seen[ray]));
    for (let g = -grow; g <= grow; g += step) {
      for (let y = -move; y <= move; y += step) {
        for (let x = -move; x <= move; x += step) {
          let votes = -0.08 * rays.length * ((x * x + y * y) / (loose.move * loose.move) + (g * g) / (loose.grow * loose.grow));
          for (let i = 0; i < rays.length; i++) {
            const ray = rays[i];
            const k = (normals[2 * ray] * x + normals[2 * ray + 1] * y + g + reach + 0.5) | 0;
            if (k >= 0 && k < long) votes += ballots[ray * long + k];
          }
          if (votes > best.votes) best = { votes, move: [x, y, g] };
        }
      }
    }
    return best;
  }
}

/**
 * Seen at an angle, a thick plate shows its flank on one side, and the outer edge there is that of its back. The shift
 * (px) from the face's edge to it, where there are edges inside one half of the outline to show it; else null.
 * @param {Edges} edges @param {number} size @returns {[number, number] | null}
 */
export function flankOf(edges, size) {
  const { long, reach, normals, seen } = edges.strip;
  const ballots = edges.ballots(Math.max(1, 0.018 * size));
  /** Share of the rays of one half that have an edge where the face's would be. @param {number} x @param {number} y @param {number} thick */
  const share = (x, y, thick) => {
    let [votes, rays] = [0, 0];
    for (let ray = 0; ray < RAYS; ray++) {
      const along = normals[2 * ray] * x + normals[2 * ray + 1] * y;
      const k = Math.round(reach - thick * along);
      if (!seen[ray] || along < 0.25 || k < 0) continue;
      rays++;
      votes += Math.min(1, ballots[ray * long + k] / 0.5);
    }
    return rays > RAYS / 8 ? votes / rays : 0;
  };
  /** @type {{ share: number, shift: [number, number] | null }} */
  let best = { share: 0.55, shift: null };
  for (let turn = 0; turn < 24; turn++) {
    const [x, y] = [Math.cos((turn * Math.PI) / 12), Math.sin((turn * Math.PI) / 12)];
    for (let thick = 2.5; thick < 0.22 * size; thick += 0.75) {
      const here = share(x, y, thick);
      const ring = here > best.share && share(-x, -y, thick) > here - 0.3; // a ring on the face goes all round
      if (here > best.share && !ring) best = { share: here, shift: [thick * x, thick * y] };
    }
  }
  return best.shift;
}

/**
 * The change of an outline that brings it onto the edges; `stiff`: how far its shape may go from `shape` (px, 1 SD).
 * @param {Edges} edges @param {Film.Outline} outline @param {number[]} start @param {{ shape: Film.Outline, stiff: number, widths: number[] }} how
 */
export function fit(edges, outline, start, { shape, stiff, widths }) {
  const { strip } = edges;
  const { normals, units, seen } = strip;
  let change = start;
  let spread = 1;
  /** @type {number[][]} */
  let last = [];
  const want = [shape.xx - outline.xx, shape.xy - outline.xy, shape.yy - outline.yy];
  const row = new Float64Array(5);
  for (const width of widths) {
    const matrix = Array.from({ length: 5 }, () => [0, 0, 0, 0, 0]);
    const right = [0, 0, 0, 0, 0];
    let [weights, squares] = [0, 0];
    for (let ray = 0; ray < RAYS; ray++) {
      if (!seen[ray]) continue;
      const [nx, ny, ux, uy] = [normals[2 * ray], normals[2 * ray + 1], units[2 * ray], units[2 * ray + 1]];
      row[0] = nx;
      row[1] = ny;
      row[2] = nx * ux;
      row[3] = nx * uy + ny * ux;
      row[4] = ny * uy;
      let place = 0;
      for (let i = 0; i < 5; i++) place += row[i] * change[i];
      const edge = edges.nearest(ray, place, width);
      if (edge < 0) continue;
      const off = edges.at[edge] - place;
      const weight = edges.clear[edge] / (1 + (off / width) ** 2) ** 2;
      if (Math.abs(off) > 3 * width) continue;
      weights += weight;
      squares += weight * off * off;
      for (let i = 0; i < 5; i++) {
        right[i] += weight * row[i] * edges.at[edge];
        for (let j = 0; j < 5; j++) matrix[i][j] += weight * row[i] * row[j];
      }
    }
    spread = Math.max(0.08, Math.sqrt(squares / Math.max(weights, 1e-9)));
    const hold = (Math.max(spread, 0.3) / stiff) ** 2;
    for (let i = 2; i < 5; i++) {
      matrix[i][i] += hold;
      right[i] += hold * want[i - 2];
    }
    const solved = solve(matrix, right);
    if (!solved) return null;
    change = solved.answer;
    last = solved.inverse;
  }
  const sd = spread * Math.sqrt(Math.max(last[0][0], last[1][1], 0));
  const axesSd = spread * Math.sqrt(Math.max(last[2][2], last[4][4], 0));
  return { change, sd, axesSd, spread };
}

/** How much of the rim an outline has under it: share of the rays, their usual contrast, and which they are. @param {Edges} edges @param {number[]} change @param {number} width */
export function supportOf(edges, change, width) {
  const { normals, units, seen } = edges.strip;
  const agree = new Int16Array(RAYS).fill(-1);
  const heights = [];
  let [votes, rays] = [0, 0];
  for (let ray = 0; ray < RAYS; ray++) {
    if (!seen[ray]) continue;
    rays++;
    const [nx, ny, ux, uy] = [normals[2 * ray], normals[2 * ray + 1], units[2 * ray], units[2 * ray + 1]];
    const place = nx * change[0] + ny * change[1] + nx * ux * change[2] + (nx * uy + ny * ux) * change[3] + ny * uy * change[4];
    const edge = edges.nearest(ray, place, width);
    if (edge < 0 || Math.abs(edges.at[edge] - place) > width || edges.clear[edge] < 0.2) continue;
    agree[ray] = edge;
    votes += Math.min(1, edges.clear[edge] / 0.5);
    heights.push(edges.height[edge]);
  }
  heights.sort((one, other) => one - other);
  return { share: rays ? votes / rays : 0, rays, contrast: heights[heights.length >> 1] ?? 0, agree };
}
