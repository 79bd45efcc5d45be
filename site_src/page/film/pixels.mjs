// Parts of a decoded picture as RGBA bytes, straight from the planes that the decoder made: a small part costs little, and
// the colours lie where the camera saw them. No DOM here.

/** How the planes of a picture lie: the place of U and V, and the steps between neighbours; null where this cannot read them. */
export function layoutOf(format) {
  if (format === "I420" || format === "I420A") return { planes: [1, 2], step: 1, first: [0, 0] };
  if (format === "NV12") return { planes: [1, 1], step: 2, first: [0, 1] };
  return null;
}

/** A part of the picture as it is shown, in the pixels of the picture as it was packed (turned by `rotation` degrees to show it). */
export function packedPart({ left, top, width, height }, { wide, high, rotation }) {
  if (rotation === 90) return { x: top, y: high - left - width, width: height, height: width };
  if (rotation === 180) return { x: wide - left - width, y: high - top - height, width, height };
  if (rotation === 270) return { x: wide - top - height, y: left, width: height, height: width };
  return { x: left, y: top, width, height };
}

/** The smallest part with even corners that holds another. */
export function evenPart({ x, y, width, height }, { wide, high }) {
  const [x0, y0] = [x & ~1, y & ~1];
  const [x1, y1] = [Math.min(wide, (x + width + 1) & ~1), Math.min(high, (y + height + 1) & ~1)];
  return { x: x0, y: y0, width: x1 - x0, height: y1 - y0 };
}

/**
 * RGBA bytes of `part` (as shown), each pixel the mean of `every` x `every`. `bytes` with `planes` [{offset, stride}] holds the packed
 * part `held`; colour has half the rows and columns of light, and lies between two of each.
 */
export function toRgba(bytes, planes, held, part, packed, layout) {
  const { every } = part;
  const { rotation } = packed;
  const wanted = packedPart(part, packed);
  const [w, h] = [part.width / every, part.height / every];
  const data = new Uint8ClampedArray(w * h * 4);
  const light = planes[0];
  const [u, v] = layout.planes.map((plane, i) => ({ at: planes[plane].offset + layout.first[i], stride: planes[plane].stride }));
  const { step } = layout;
  const columns = held.width >> 1;
  const rows = held.height >> 1;
  const turned = rotation === 90 || rotation === 270;
  const [packedW, packedH] = turned ? [h, w] : [w, h]; // of the small picture before it is turned
  const [x0, y0] = [wanted.x - held.x, wanted.y - held.y];
  for (let j = 0; j < packedH; j++) {
    const cy = Math.min(Math.max((y0 + j * every + (every - 1) / 2 - 0.5) / 2, 0), rows - 1);
    const row = Math.min(cy | 0, rows - 2 < 0 ? 0 : rows - 2);
    const fy = rows > 1 ? cy - row : 0;
    for (let i = 0; i < packedW; i++) {
      let sum = 0;
      let at = light.offset + (y0 + j * every) * light.stride + x0 + i * every;
      for (let b = 0; b < every; b++, at += light.stride) for (let a = 0; a < every; a++) sum += bytes[at + a];
      const cx = Math.min(Math.max((x0 + i * every + (every - 1) / 2 - 0.5) / 2, 0), columns - 1);
      const column = Math.min(cx | 0, columns - 2 < 0 ? 0 : columns - 2);
      const fx = columns > 1 ? cx - column : 0;
      const near = column * step;
      const next = near + (columns > 1 ? step : 0);
      const top = u.at + row * u.stride;
      const low = top + (rows > 1 ? u.stride : 0);
      const blue = (bytes[top + near] * (1 - fx) + bytes[top + next] * fx) * (1 - fy) + (bytes[low + near] * (1 - fx) + bytes[low + next] * fx) * fy - 128;
      const upper = v.at + row * v.stride;
      const lower = upper + (rows > 1 ? v.stride : 0);
      const red = (bytes[upper + near] * (1 - fx) + bytes[upper + next] * fx) * (1 - fy) + (bytes[lower + near] * (1 - fx) + bytes[lower + next] * fx) * fy - 128;
      const y = 1.164 * (sum / (every * every) - 16); // ITU-R BT.601; which matrix it is does not matter to edges
      const [ox, oy] = rotation === 90 ? [packedH - 1 - j, i] : rotation === 180 ? [packedW - 1 - i, packedH - 1 - j] : rotation === 270 ? [j, packedW - 1 - i] : [i, j];
      const out = (oy * w + ox) * 4;
      data[out] = y + 1.596 * red;
      data[out + 1] = y - 0.392 * blue - 0.813 * red;
      data[out + 2] = y + 2.017 * blue;
      data[out + 3] = 255;
    }
  }
  return { data, width: w, height: h };
}
