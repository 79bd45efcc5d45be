// Opens what site_src/runtime/snapshot.mjs has packed: memory as pages that are not zero, without what the wasm
// module itself brings.

/** The reverse of runsOf there: calls `each(first, length)` for every run. @param {number[]} runs @param {(first: number, length: number) => void} each */
function forRuns(runs, each) {
  let place = 0;
  for (let i = 0; i < runs.length; i += 2) {
    place += runs[i];
    each(place, runs[i + 1]);
    place += runs[i + 1];
  }
}

/** → {snapshot, complete(fresh)}: `snapshot` is whole once `complete` has copied the module's own fresh memory into it. @param {Uint8Array} packed */
export function unpack(packed) {
  const toldTo = 4 + new DataView(packed.buffer, packed.byteOffset).getUint32(0, true);
  /** @type {{ length: number, head: number, page: number, word: number, pages: number[], same: number[], own: number[] }} */
  const about = JSON.parse(new TextDecoder().decode(packed.subarray(4, toldTo)));
  const { length, head, page, word } = about;
  const snapshot = new Uint8Array(length);
  let from = toldTo + head;
  snapshot.set(packed.subarray(toldTo, from));
  forRuns(about.pages, (first, count) => {
    snapshot.set(packed.subarray(from, from + count * page), head + first * page);
    from += count * page;
  });
  const complete = (/** @type {Uint8Array} */ fresh) => {
    forRuns(about.same, (first, count) => {
      snapshot.set(fresh.subarray(first * word, (first + count) * word), head + first * word);
    });
    for (const place of about.own) snapshot.set(fresh.subarray(place, place + 4), head + place); // each browser's own
  };
  return { snapshot, complete };
}
