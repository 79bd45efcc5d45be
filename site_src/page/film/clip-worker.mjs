// One job on a clip, away from the page's own thread: read how it is made, or follow the plate in it. Ending the job = ending
// the worker. Pictures are decoded one after another and never kept.
//
//   page → worker   {do: "open", file}
//                   {do: "follow", file, picture, times, from, mark}      its pictures come from decode-worker.mjs
//                   {do: "follow", picture, times, from, mark, sent: true}   the page sends {picture: bitmap} as asked
//                   {do: "rim", picture, bitmap, tap}                    looks for the rim round a tap
//                   {do: "end", picture, bitmap, tap, rim}               looks how large the sleeve's end is round a tap
//   worker → page   {info}                          of open: see `describe`
//                   {frames: [[index, result], …], preview}   preview: a small bitmap of the last of them, now and then
//                   {every: n}                      from here on only each n-th picture is looked at: the device is slow
//                   {want: index}                   of follow with `sent`: the next picture, please
//                   {rim: {ring} or {why}}          of rim
//                   {end: radius or null}           of end
//                   {done: true}
//                   {trouble: {code, detail}}       the words are the page's
//
// `mark` is the outline as marked at the picture `from`; `times` are those of all pictures (s).

import { Background } from "./background.mjs";
import { findEnd } from "./end.mjs";
import { Follower } from "./follow.mjs";
import { EncodedPacketSink, VideoSample } from "./mediabunny.mjs";
import { fromAxes } from "./outline.mjs";
import { Pace } from "./pace.mjs";
import { evenPart, layoutOf, packedPart, toRgba } from "./pixels.mjs";
import { findRim } from "./rim.mjs";
import { Trouble, trackOf, troubleIn } from "./track.mjs";

const MOST_PICTURES = 100_000;
const TELL_MS = 120;
const BACKGROUND_S = 0.045; // how often the background is looked at: hands shake more slowly
const LENS_KEY = "camera.focal_length.35mm_equivalent";
const LENSES = { least: 8, most: 300 }; // mm
const PAID = 2; // pictures let go that are told together: at most as many as are on their way at least
const PREVIEW_SIZE = 480; // px, the longer side

/**
 * {width, height} as shown, {turned} degrees, {times} of the pictures in order (s), {last}: how long the last one stays, {codec,
 * decodes}, {lens}: its 35 mm equivalent where the file says it, {missing}: pictures that the index promises and for whose bytes
 * the file is too short. @param {File} file @returns {Promise<Film.Info>}
 */
async function describe(file) {
  const track = await trackOf(file);
  /** @type {number[]} */
  const times = [];
  let [last, bytes, missing] = [0, 0, 0];
  for await (const packet of new EncodedPacketSink(track).packets(undefined, undefined, { metadataOnly: true })) {
    bytes += packet.byteLength;
    if (bytes > file.size) missing++;
    else times.push(packet.timestamp);
    last = packet.duration;
    if (times.length > MOST_PICTURES) throw new Trouble("long");
  }
  times.sort((one, other) => one - other);
  const shown = times.filter((time, i) => time >= 0 && time > (times[i - 1] ?? -1)); // what an edit has cut off comes before 0
  if (!shown.length) throw new Trouble("no_pictures");
  return {
    width: await track.getDisplayWidth(),
    height: await track.getDisplayHeight(),
    turned: await track.getRotation(),
    times: shown,
    last,
    codec: (await track.getCodec()) ?? "",
    decodes: "VideoDecoder" in self && (await track.canDecode()),
    lens: await lensOf(track.input),
    missing,
  };
}

/** The lens as phones write it beside a clip (QuickTime metadata keys): 35 mm equivalent, or null. @param {import("./mediabunny.mjs").Input} input */
async function lensOf(input) {
  const tags = await input.getMetadataTags().catch(() => null);
  const [, value = null] = Object.entries(tags?.raw ?? {}).find(([key]) => key.endsWith(LENS_KEY)) ?? [];
  const mm = value instanceof Uint8Array ? value.reduce((sum, byte) => 256 * sum + byte, 0) : Number(value);
  return mm >= LENSES.least && mm <= LENSES.most ? mm : null;
}

// ---- following

/**
 * @typedef {OffscreenCanvasRenderingContext2D} Context
 * @typedef {(into: Context, left: number, top: number, width: number, height: number, intoWidth: number, intoHeight: number) => void} Draw
 */

/** @type {Context | null} */
let context = null;

/** @param {number} width @param {number} height */
function contextOf(width, height) {
  const made = new OffscreenCanvas(width, height).getContext("2d", { willReadFrequently: true, alpha: false });
  if (!made) throw new Trouble("broken", "no drawing");
  made.imageSmoothingQuality = "medium";
  return made;
}

/** Reads parts of what `draw(context, left, top, width, height, intoWidth, intoHeight)` draws. @param {Draw} draw @returns {(part: Film.Part) => Film.Pixels} */
function drawn(draw) {
  return ({ left, top, width, height, every }) => {
    const [w, h] = [width / every, height / every];
    if (!context || context.canvas.width < w || context.canvas.height < h) {
      const { width: wide = 0, height: high = 0 } = context?.canvas ?? {};
      context = contextOf(Math.max(w, wide), Math.max(h, high));
    }
    draw(context, left, top, width, height, w, h);
    return context.getImageData(0, 0, w, h);
  };
}

/** @type {(sample: VideoSample) => Draw} */
const ofSample = (sample) => (into, left, top, width, height, w, h) => sample.draw(into, left, top, width, height, 0, 0, w, h);
/** @type {(bitmap: ImageBitmap) => Draw} */
const ofBitmap = (bitmap) => (into, left, top, width, height, w, h) => into.drawImage(bitmap, left, top, width, height, 0, 0, w, h);

let buffer = new Uint8Array(0);
let planesFail = false;
const inTurn = [0, 1, 2].map(() => new Uint8ClampedArray(0)); // parts that are read: following makes no garbage

/** Room for a part; the third part after it takes its place. @param {number} length */
function roomFor(length) {
  let room = /** @type {Uint8ClampedArray<ArrayBuffer>} */ (inTurn.shift());
  if (room.length < length) room = new Uint8ClampedArray(Math.ceil(1.2 * length));
  inTurn.push(room);
  return room.subarray(0, length);
}

/** Reads parts of a decoded picture from its planes where they can be had, else by drawing it. @param {VideoSample} sample @returns {Film.Read} */
function readerOf(sample) {
  const byDrawing = drawn(ofSample(sample));
  const layout = layoutOf(sample.format);
  const { visibleRect: seen, rotation, flip } = sample;
  const turned = rotation % 180 !== 0;
  const square = sample.displayWidth === (turned ? seen.height : seen.width) && sample.displayHeight === (turned ? seen.width : seen.height);
  if (!layout || planesFail || flip || !square) return byDrawing;
  const packed = { wide: seen.width, high: seen.height, rotation };
  return async (part) => {
    const held = evenPart(packedPart(part, packed), packed);
    const rect = { x: held.x + seen.left, y: held.y + seen.top, width: held.width, height: held.height };
    try {
      const size = sample.allocationSize({ rect });
      if (buffer.length < size) buffer = new Uint8Array(size);
      const planes = await sample.copyTo(buffer, { rect });
      return toRgba(buffer, planes, held, part, packed, layout, roomFor);
    } catch {
      planesFail = true;
      return byDrawing(part);
    }
  };
}

/** @typedef {{ index: number, read: Film.Read, close: () => void }} Picture */

/** @param {File} file @param {number[]} times @param {number} from @returns {AsyncGenerator<Picture, void>} */
async function* decoded(file, times, from) {
  const worker = new Worker(new URL("./decode-worker.mjs", import.meta.url), { type: "module" });
  /** @type {Film.Decoded[]} */
  const come = [];
  let [heard, owed] = [() => {}, 0];
  const hear = (/** @type {Film.Decoded} */ told) => {
    come.push(told);
    heard();
  };
  worker.addEventListener("message", ({ data }) => hear(data));
  worker.addEventListener("error", ({ message }) => hear({ trouble: { code: "broken", detail: message ?? "" } }));
  worker.postMessage({ file, times, from });
  for (;;) {
    const next = come.shift();
    if (!next) await new Promise((resolve) => { heard = () => resolve(undefined); });
    else if ("done" in next) return;
    else if ("trouble" in next) throw new Trouble(next.trouble.code, next.trouble.detail);
    else {
      const sample = new VideoSample(next.frame, { rotation: next.turned, flip: next.flip });
      const close = () => {
        sample.close();
        owed++;
        if (owed < PAID) return;
        worker.postMessage({ more: owed });
        owed = 0;
      };
      yield { index: next.index, read: readerOf(sample), close };
    }
  }
}

/** @type {((bitmap: ImageBitmap | null) => void) | null} */
let arrived = null;

/** @param {number[]} times @param {number} from @returns {AsyncGenerator<Picture, void>} */
async function* sent(times, from) {
  for (let index = from; index < times.length; index++) {
    /** @type {Promise<ImageBitmap | null>} */
    const coming = new Promise((resolve) => { arrived = resolve; });
    self.postMessage({ want: index });
    const bitmap = await coming;
    if (!bitmap) continue;
    yield { index, read: drawn(ofBitmap(bitmap)), close: () => bitmap.close() };
  }
}

/** A small picture to show, read as the parts are: what is drawn, browsers keep in a cache of half a gigabyte. @param {Film.Read} read @param {Film.Size} picture */
async function previewOf(read, { width, height }) {
  const every = Math.max(1, Math.round(Math.max(width, height) / PREVIEW_SIZE));
  const small = await read({ left: 0, top: 0, width: width - (width % every), height: height - (height % every), every });
  return createImageBitmap(new ImageData(small.data, small.width, small.height));
}

/** @param {Extract<Film.Job, { do: "follow" }>} job */
async function follow({ file, picture, times, from, mark }) {
  const follower = new Follower(picture, fromAxes(mark));
  const pace = new Pace(times, from);
  const background = times.length > 1 ? new Background(picture, mark) : null;
  let [behind, looked] = [false, -Infinity]; // whether there is a background; when it was looked at
  /** @type {[index: number, result: Film.Seen][]} */
  let batch = [];
  let told = performance.now();
  const tell = (/** @type {ImageBitmap | null} */ preview = null) => {
    self.postMessage({ frames: batch, preview }, preview ? { transfer: [preview] } : {});
    batch = [];
    told = performance.now();
  };
  try {
    for await (const { index, read, close } of file ? decoded(file, times, from) : sent(times, from)) {
      try {
        const first = index === from;
        const { every } = pace;
        if (!pace.looks(index, performance.now())) continue;
        if (pace.every !== every) self.postMessage({ every: pace.every });
        const result = await (first ? follower.start(read, times[index]) : follower.step(read, times[index]));
        if (first) behind = Boolean(await background?.start(read));
        if (behind && background && times[index] - looked > BACKGROUND_S) {
          looked = times[index];
          const moved = await background.step(read);
          if (moved) result.moved = moved;
        }
        batch.push([index, result]);
        if (first && result.lost) throw new Trouble(result.why === "small" ? "mark_small" : "no_rim");
        if (first || performance.now() - told > TELL_MS) tell(await previewOf(read, picture));
      } finally {
        close();
      }
    }
  } finally {
    tell(); // also what was seen before the damage
  }
  self.postMessage({ done: true });
}

/** @param {Film.Job | { do?: undefined, picture: ImageBitmap | null }} data */
async function take(data) {
  if (!data.do) return arrived?.(data.picture);
  try {
    if (!("OffscreenCanvas" in self)) throw new Trouble("old_browser");
    if (data.do === "open") self.postMessage({ info: await describe(data.file) });
    else if (data.do === "rim") self.postMessage({ rim: await findRim(drawn(ofBitmap(data.bitmap)), data.picture, data.tap) });
    else if (data.do === "end") self.postMessage({ end: await findEnd(drawn(ofBitmap(data.bitmap)), data.picture, data.tap, data.rim) });
    else await follow(data);
  } catch (error) {
    self.postMessage({ trouble: troubleIn(error) });
  }
  return undefined;
}
self.onmessage = ({ data }) => take(data);
