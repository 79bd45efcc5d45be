// Parts of a decoded picture as RGBA bytes, straight from the planes that the decoder made: a small part costs little, and
// the colours lie where the camera saw them. No DOM here.

/** How the planes of a picture lie: the place of U and V, and the steps between neighbours; null where this cannot read them. @param {string | null} format @returns {Film.Layout | null} */
export function layoutOf(format) {
  if (format === "I420" || format === "I420A") return { planes: [1, 2], step: 1, first: [0, 0] };
  if (format === "NV12") return { planes: [1, 1], step: 2, first: [0, 1] };
  return null;
}

/** A part of the picture as it is shown, in the pixels of the picture as it was packed (turned by `rotation` degrees to show it). @param {Omit<Film.Part, "every">} part @param {Film.Packed} packed @returns {Film.Rect} */
export function packedPart({ left, top, width, height }, { wide, high, rotation }) {
  if (rotation === 90) return { x: top, y: high - left - width, width: height, height: width };
  if (rotation === 180) return { x: wide - left - width, y: high - top - height, width, height };
  if (rotation === 270) return { x: wide - top - height, y: left, width: height, height: width };
  return { x: left, y: top, width, height };
}

/** The smallest part with even corners that holds another. @param {Film.Rect} part @param {Omit<Film.Packed, "rotation">} packed @returns {Film.Rect} */
export function evenPart({ x, y, width, height }, { wide, high }) {
  const [x0, y0] = [x & ~1, y & ~1];
  const [x1, y1] = [Math.min(wide, (x + width + 1) & ~1), Math.min(high, (y + height + 1) & ~1)];
  return { x: x0, y: y0, width: x1 - x0, height: y1 - y0 };
}

/**
 * RGBA bytes of `part` (as shown), each pixel the mean of `every` x `every`. `bytes` with `planes` [{offset, stride}] holds the packed
 * part `held`; colour has half the rows and columns of light, and lies between two of each.
 * @param {Uint8Array} bytes @param {{ offset: number, stride: number }[]} planes @param {Film.Rect} held @param {Film.Part} part
 * @param {Film.Packed} packed @param {Film.Layout} layout @param {(length: number) => Uint8ClampedArray<ArrayBuffer>} arrayOf where it goes
 * @returns {Film.Pixels}
 */
export function toRgba(bytes, planes, held, part, packed, layout, arrayOf = (length) => new Uint8ClampedArray(length)) {
  const { every } = part;
  const { rotation } = packed;
  const wanted = packedPart(part, packed);
  const w = part.width / every;
  const h = part.height / every;
  const data = arrayOf(w * h * 4);
  const columns = wanted.width / every; // before it is turned
  const rows = wanted.height / every;
  /** @type {{ [rotation: number]: number[] }} */
  const ways = {
    0: [0, 4, 4 * w],
    90: [4 * (rows - 1), 4 * w, -4],
    180: [4 * (w * h - 1), -4, -4 * w],
    270: [4 * w * (columns - 1), -4 * w, 4],
  };
  const [start, along, down] = ways[rotation];
  const light = planes[0];
  const blueAt = planes[layout.planes[0]].offset + layout.first[0];
  const redAt = planes[layout.planes[1]].offset + layout.first[1];
  const stride = planes[layout.planes[0]].stride;
  const { step } = layout;
  const lastColumn = (held.width >> 1) - 1;
  const lastRow = (held.height >> 1) - 1;
  const x0 = wanted.x - held.x;
  const y0 = wanted.y - held.y;
  const middle = (every - 1) / 2 - 0.5;
  const share = 1.164 / (every * every);
  const even = every === 2 && x0 % 2 === 0 && y0 % 2 === 0; // then each pixel has a colour of its own
  const { sums, lefts, rights, between } = roomFor(columns);
  if (!even && !part.light) {
    for (let i = 0; i < columns; i++) {
      const cx = Math.min(Math.max((x0 + i * every + middle) / 2, 0), lastColumn);
      lefts[i] = (cx | 0) * step;
      rights[i] = Math.min((cx | 0) + 1, lastColumn) * step;
      between[i] = cx - (cx | 0);
    }
  }
  for (let j = 0; j < rows; j++) {
    sumRow(sums, columns, bytes, light.offset + (y0 + j * every) * light.stride + x0, light.stride, every);
    let out = start + j * down;
    if (part.light) {
      for (let i = 0; i < columns; i++, out += along) {
        data[out] = data[out + 1] = data[out + 2] = share * sums[i] - 18.624; // ITU-R BT.601; which matrix it is does not matter to edges
        data[out + 3] = 255;
      }
      continue;
    }
    const cy = Math.min(Math.max((y0 + j * every + middle) / 2, 0), lastRow);
    const row = cy | 0;
    const near = row * stride;
    if (even) {
      for (let i = 0, own = near + (x0 >> 1) * step; i < columns; i++, out += along, own += step) {
        const y = share * sums[i] - 18.624;
        const blue = bytes[blueAt + own] - 128;
        const red = bytes[redAt + own] - 128;
        data[out] = y + 1.596 * red;
        data[out + 1] = y - 0.392 * blue - 0.813 * red;
        data[out + 2] = y + 2.017 * blue;
        data[out + 3] = 255;
      }
      continue;
    }
    const fy = cy - row;
    const next = Math.min(row + 1, lastRow) * stride;
    const [blueNear, blueNext, redNear, redNext] = [blueAt + near, blueAt + next, redAt + near, redAt + next];
    for (let i = 0; i < columns; i++, out += along) {
      const y = share * sums[i] - 18.624;
      const left = lefts[i];
      const right = rights[i];
      const fx = between[i];
      const w01 = (1 - fy) * fx;
      const w00 = 1 - fy - w01;
      const w11 = fy * fx;
      const w10 = fy - w11;
      const blue = bytes[blueNear + left] * w00 + bytes[blueNear + right] * w01 + bytes[blueNext + left] * w10 + bytes[blueNext + right] * w11 - 128;
      const red = bytes[redNear + left] * w00 + bytes[redNear + right] * w01 + bytes[redNext + left] * w10 + bytes[redNext + right] * w11 - 128;
      data[out] = y + 1.596 * red;
      data[out + 1] = y - 0.392 * blue - 0.813 * red;
      data[out + 2] = y + 2.017 * blue;
      data[out + 3] = 255;
    }
  }
  return { data, width: w, height: h };
}

const roomOf = (/** @type {number} */ columns) => ({
  sums: new Int32Array(columns), lefts: new Int32Array(columns), rights: new Int32Array(columns), between: new Float64Array(columns),
});
let room = roomOf(0);

/** Room for a row: the sums of its pixels, and which two columns of colour each lies between. @param {number} columns */
function roomFor(columns) {
  if (room.sums.length < columns) room = roomOf(columns);
  return room;
}

/** The sums of `every` x `every` bytes, side by side from `at` on. @param {Int32Array} sums @param {number} columns @param {Uint8Array} bytes @param {number} at @param {number} stride @param {number} every */
function sumRow(sums, columns, bytes, at, stride, every) {
  if (every === 1) {
    for (let i = 0; i < columns; i++) sums[i] = bytes[at + i];
    return;
  }
  if (every === 2) {
    for (let i = 0, a = at; i < columns; i++, a += 2) sums[i] = bytes[a] + bytes[a + 1] + bytes[a + stride] + bytes[a + stride + 1];
    return;
  }
  if (every === 3) {
    for (let i = 0, a = at, b = at + stride, c = b + stride; i < columns; i++, a += 3, b += 3, c += 3) {
      sums[i] = bytes[a] + bytes[a + 1] + bytes[a + 2] + bytes[b] + bytes[b + 1] + bytes[b + 2] + bytes[c] + bytes[c + 1] + bytes[c + 2];
    }
    return;
  }
  for (let i = 0; i < columns; i++) {
    let sum = 0;
    for (let b = 0, a = at + i * every; b < every; b++, a += stride) for (let k = 0; k < every; k++) sum += bytes[a + k];
    sums[i] = sum;
  }
}
