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

/**
 * → restore(module, head): puts the memory back into a fresh module, in place, and the snapshot's head, which Pyodide reads, into `head`.
 * @param {Uint8Array} packed @returns {(module: Pick<Python.Module, 'HEAPU8' | '_sbrk'>, head: Uint8Array) => void}
 */
export function unpack(packed) {
  const toldTo = 4 + new DataView(packed.buffer, packed.byteOffset).getUint32(0, true);
  /** @type {{ head: number, brought: number, page: number, word: number, pages: number[], same: number[], own: number[] }} */
  const about = JSON.parse(new TextDecoder().decode(packed.subarray(4, toldTo)));
  const { page, word } = about;
  return ({ HEAPU8: memory, _sbrk }, head) => {
    const fresh = memory.slice(0, about.brought);
    memory.fill(0, 0, _sbrk(0)); // behind it nothing has been written yet
    let from = toldTo + about.head;
    head.set(packed.subarray(toldTo, from));
    forRuns(about.pages, (first, count) => {
      memory.set(packed.subarray(from, from + count * page), first * page);
      from += count * page;
    });
    forRuns(about.same, (first, count) => memory.set(fresh.subarray(first * word, (first + count) * word), first * word));
    for (const place of about.own) memory.set(fresh.subarray(place, place + 4), place); // each browser's own
  };
}
