// The pictures of a file, and what is wrong with one: for the workers.

import { BlobSource, Input, MATROSKA, MP4, MPEG_TS, QTFF, WEBM } from "./mediabunny.mjs";

const FORMATS = [MP4, QTFF, WEBM, MATROSKA, MPEG_TS];

export class Trouble extends Error {
  /** @param {string} code */
  constructor(code, detail = "") {
    super(code);
    this.code = code;
    this.detail = detail;
  }
}

/** As it is told to the page, which has the words. @param {unknown} error @returns {{ code: string, detail: string }} */
export function troubleIn(error) {
  if (error instanceof Trouble) return { code: error.code, detail: error.detail };
  return { code: "broken", detail: error instanceof Error ? error.message : String(error) };
}

/** @param {File} file */
export async function trackOf(file) {
  const input = new Input({ source: new BlobSource(file), formats: FORMATS });
  if (!(await input.canRead())) throw new Trouble("not_video");
  const track = await input.getPrimaryVideoTrack();
  if (!track) throw new Trouble("no_pictures");
  return track;
}
