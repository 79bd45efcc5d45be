// Decodes a clip's pictures one after another, away from where they are looked at: a decoder asks its own thread for each next
// picture, and would stand still while that thread looks at one. Ending the job = ending the worker.
//
//   parent → worker   {file, times, from}           once
//                     {more: n}                     n pictures have been let go: as many more may come
//   worker → parent   {index, frame, turned, flip}  a picture, the parent's from then on
//                     {done: true}
//                     {trouble: {code, detail}}     after the pictures that came before it

import { VideoSampleSink } from "./mediabunny.mjs";
import { trackOf, troubleIn } from "./track.mjs";

const AHEAD = { least: 2, most: 10, bytes: 32e6 }; // pictures on their way; where one is damaged, those that still wait to be sent are lost
const SLACK_S = 1e-4;
let free = 0;
/** @type {() => void} */
let freed = () => {};

/** @param {Film.Decoded} told @param {Transferable[]} [with_] */
const tell = (told, with_ = []) => self.postMessage(told, { transfer: with_ });

/** @param {Film.Decode} job */
async function decode({ file, times, from }) {
  const track = await trackOf(file);
  const bytes = 1.5 * (await track.getCodedWidth()) * (await track.getCodedHeight());
  free = Math.min(Math.max(Math.floor(AHEAD.bytes / bytes), AHEAD.least), AHEAD.most);
  let index = from;
  for await (const sample of new VideoSampleSink(track).samples(times[from])) {
    // the one that is still shown at the first time is left out; a damaged picture has been left out
    while (index < times.length && times[index] < sample.timestamp - SLACK_S) index++;
    const wanted = index < times.length && sample.timestamp >= times[from] - SLACK_S;
    if (wanted) {
      const frame = sample.toVideoFrame();
      tell({ index, frame, turned: sample.rotation, flip: sample.flip }, [frame]);
      index++;
      free--;
    }
    sample.close();
    if (index >= times.length) break;
    if (!free) await new Promise((resolve) => { freed = () => resolve(undefined); });
  }
}

/** @param {MessageEvent<Film.Decode | { more: number }>} event */
self.onmessage = async ({ data }) => {
  if ("more" in data) {
    free += data.more;
    return freed();
  }
  try {
    await decode(data);
    tell({ done: true });
  } catch (error) {
    tell({ trouble: troubleIn(error) });
  }
};
