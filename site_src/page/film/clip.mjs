// The clip or photo that is open: how it is made, the picture that is shown, and jobs on it in a worker of their own.
// Nothing is sent anywhere; of a clip only the picture that is shown is in memory.

import { say } from "../../words.mjs";
import { lensOf, photoKind } from "./photo.mjs";

export const LARGEST_GB = 2;
export const LONGEST_MIN = 10;
export const FOLLOWED_S = 60;
const USUAL_CODEC = "avc"; // H.264: who has it is not told to choose it

/** What went wrong, in words. @param {string} code @param {unknown[]} parts @returns {Film.Trouble} */
export function troubleOf(code, ...parts) {
  return { code, message: say(`film_trouble_${code}`, ...parts), remedy: say(`film_trouble_${code}_remedy`) };
}

/** Runs a job of clip-worker.mjs; `on(message, worker)`. Gives what ends it. @param {Film.Job} job @param {(message: Film.Told, worker: Worker) => void} on */
export function run(job, on) {
  const worker = new Worker(new URL("./clip-worker.mjs", import.meta.url), { type: "module" });
  const end = () => worker.terminate();
  worker.addEventListener("message", ({ data }) => {
    if (data.info || data.rim || data.end !== undefined || data.done || data.trouble) end();
    on(data, worker);
  });
  worker.addEventListener("error", (event) => {
    event.preventDefault();
    end();
    on({ trouble: { code: "broken", detail: event.message ?? "" } }, worker);
  });
  worker.postMessage(job);
  return end;
}

/** @type {(job: Film.Job) => Promise<Film.Told>} */
const asJob = (job) => new Promise((resolve) => { run(job, resolve); });

/** Looks for the rim round a tap in the picture that is shown; `on(rim)`, or null where that cannot be done. Gives what ends it. @param {Photo | Clip} clip @param {Film.Point} tap @param {(rim: Film.Rim | null) => void} on */
export function lookForRim(clip, tap, on) {
  return look(clip, (bitmap) => ({ do: "rim", picture: clip.picture, bitmap, tap }), ({ rim = null }) => on(rim));
}

/** Looks how large the end of the sleeve is round a tap, px; `on(radius)`, or null where it is not clear. Gives what ends it. @param {Photo | Clip} clip @param {Film.Point} tap @param {Film.Ring} rim @param {(radius: number | null) => void} on */
export function lookForEnd(clip, tap, rim, on) {
  return look(clip, (bitmap) => ({ do: "end", picture: clip.picture, bitmap, tap, rim }), ({ end = null }) => on(end));
}

/** @param {Photo | Clip} clip @param {(bitmap: ImageBitmap) => Film.Job} job @param {(told: Film.Told) => void} on */
function look({ source }, job, on) {
  let end = () => {};
  let ended = false;
  createImageBitmap(source).then((bitmap) => {
    if (!ended) end = run(job(bitmap), on);
    bitmap.close();
  }, () => { if (!ended) on({}); });
  return () => {
    ended = true;
    end();
  };
}

/** Opens a file; an object below, or throws a Film.Trouble. @param {File} file @param {HTMLVideoElement} video @returns {Promise<Clip | Photo>} */
export async function open(file, video) {
  const gigabytes = file.size / 1e9;
  if (!file.size) throw troubleOf("empty", file.name);
  if (gigabytes > LARGEST_GB) throw troubleOf("huge", file.name, gigabytes.toFixed(1));
  const photo = await photoKind(file); // whatever it is called
  if (photo) return openPhoto(file, photo === "plain" ? "photo_damaged" : "photo");
  const { info, trouble } = await asJob({ do: "open", file });
  if (trouble?.code === "not_video") return openPhoto(file, file.type.startsWith("image/") ? "photo" : "not_video");
  if (trouble?.code === "long") throw troubleOf("long", file.name, `${LONGEST_MIN}+`);
  if (trouble || !info) throw troubleOf(trouble?.code ?? "broken", file.name, trouble?.detail);
  const minutes = (info.times[info.times.length - 1] - info.times[0]) / 60;
  if (minutes > LONGEST_MIN) throw troubleOf("long", file.name, minutes.toFixed(1));
  const clip = new Clip(file, video, info);
  try {
    await clip.takeVideo();
  } catch (error) {
    clip.close();
    if (info.decodes) throw troubleOf("damaged", file.name); // it could be shown if it were whole
    if (info.codec === USUAL_CODEC) throw troubleOf("odd_usual", file.name);
    throw troubleOf("codec", file.name, info.codec || (error instanceof Error ? error.message : ""));
  }
  return clip;
}

/** @param {File} file @param {"photo" | "photo_damaged" | "not_video"} wrong what it is where it cannot be shown */
async function openPhoto(file, wrong) {
  const bitmap = await createImageBitmap(file, { imageOrientation: "from-image" }).catch(() => null);
  if (!bitmap) throw troubleOf(wrong, file.name);
  return new Photo(file, bitmap, await lensOf(file, bitmap));
}

/** @implements {Film.Opened} */
export class Photo {
  kind = /** @type {const} */ ("photo");
  times = [0];
  last = 0;

  /** @param {File} file @param {ImageBitmap} bitmap @param {number | null} lens 35 mm equivalent, mm */
  constructor(file, bitmap, lens) {
    this.file = file;
    this.info = { lens };
    this.source = bitmap;
    this.picture = { width: bitmap.width, height: bitmap.height };
  }

  async show() {}

  async takeVideo() {}

  close() {
    this.source.close();
  }

  /** Brings an outline onto the rim; as `follow` of a clip. @param {number} _ @param {Film.Ring} mark @param {(told: Film.Told) => void} on */
  follow(_, mark, on) {
    return run({ do: "follow", picture: this.picture, times: [0], from: 0, mark, sent: true }, async (message, worker) => {
      if ("want" in message) worker.postMessage({ picture: await createImageBitmap(this.source) });
      else on(message);
    });
  }
}

/** @implements {Film.Opened} */
export class Clip {
  kind = /** @type {const} */ ("clip");
  /** @type {number | null} */
  #wanted = null; // the time that is to be shown
  /** @type {Promise<void> | null} */
  #seeking = null;

  /** @param {File} file @param {HTMLVideoElement} video @param {Film.Info} info */
  constructor(file, video, info) {
    this.file = file;
    this.info = info;
    this.source = video;
    this.times = info.times;
    this.last = info.last;
    this.picture = { width: info.width, height: info.height };
    this.url = URL.createObjectURL(file);
  }

  /** Gives the clip the page's video element; rejected where that cannot show it. @returns {Promise<void>} */
  takeVideo() {
    const video = this.source;
    if (video.src === this.url && video.readyState > 1) return Promise.resolve();
    video.src = this.url;
    return new Promise((resolve, reject) => {
      const done = () => (video.videoWidth ? resolve() : reject(new Error("")));
      video.addEventListener("loadeddata", done, { once: true });
      video.addEventListener("error", () => reject(new Error(video.error?.message ?? "")), { once: true });
    });
  }

  /** The middle of the time for which a picture is shown: safe to seek to. @param {number} index */
  middle(index) {
    const next = this.times[index + 1] ?? this.times[index] + (this.last || 1 / 30);
    return this.times[index] + Math.min((next - this.times[index]) / 2, 0.02);
  }

  /** Shows the picture of that number; of several wishes while one is under way only the last is granted. @param {number} index */
  async show(index) {
    this.#wanted = this.middle(index);
    this.#seeking ??= this.#seek().finally(() => { this.#seeking = null; });
    await this.#seeking;
  }

  async #seek() {
    const video = this.source;
    while (this.#wanted !== null) {
      const time = this.#wanted;
      this.#wanted = null;
      if (Math.abs(video.currentTime - time) < 1e-4) continue;
      await new Promise((resolve) => {
        video.addEventListener("seeked", resolve, { once: true });
        video.addEventListener("error", resolve, { once: true });
        video.currentTime = time;
      });
    }
  }

  /** The picture that is shown at a time of the clip. @param {number} time */
  indexAt(time) {
    let [low, high] = [0, this.times.length - 1];
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (this.times[middle] <= time + 1e-4) low = middle;
      else high = middle - 1;
    }
    return low;
  }

  /** The last picture that is followed from one on. @param {number} index */
  lastFrom(index) {
    return this.indexAt(this.times[index] + FOLLOWED_S);
  }

  /** Follows the plate from the picture `from`, marked there; `on({frames, preview, done, trouble})`. Gives what stops it. @param {number} from @param {Film.Ring} mark @param {(told: Film.Told) => void} on */
  follow(from, mark, on) {
    const times = this.times.slice(0, this.lastFrom(from) + 1);
    const job = { do: /** @type {const} */ ("follow"), picture: this.picture, times, from, mark };
    if (this.info.decodes) return run({ ...job, file: this.file }, on);
    return run({ ...job, sent: true }, async (message, worker) => {
      if (message.want === undefined) return on(message);
      await this.show(message.want);
      const bitmap = await createImageBitmap(this.source).catch(() => null);
      worker.postMessage({ picture: bitmap }, bitmap ? [bitmap] : []);
    });
  }

  close() {
    if (this.source.src === this.url) {
      this.source.removeAttribute("src");
      this.source.load();
    }
    URL.revokeObjectURL(this.url);
  }
}
