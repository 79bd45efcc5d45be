// The memory of Python as the worker puts it back, from a packed one made here by the layout that runtime/snapshot.mjs tells.
import assert from "node:assert/strict";
import { test } from "node:test";

import { unpack } from "../../site_src/worker/snapshot.mjs";

test("pages come back to their places, what the module brings stays, and each browser's own word stays its own", () => {
  const about = { head: 6, brought: 40, page: 16, word: 4, pages: [1, 1, 1, 1], same: [2, 1], own: [36] };
  const told = new TextEncoder().encode(JSON.stringify(about));
  const size = new Uint8Array(4);
  new DataView(size.buffer).setUint32(0, told.length, true);
  const pages = [...new Array(16).fill(1), ...new Array(16).fill(2)]; // pages 1 and 3; 0 and 2 are empty
  const restore = unpack(Uint8Array.from([...size, ...told, 9, 8, 7, 6, 5, 4, ...pages]));
  const end = 44; // up to here the module has written
  const HEAPU8 = Uint8Array.from({ length: 64 }, (_, place) => (place < end ? 100 + place : 0));
  const wanted = [...new Array(16).fill(0), ...new Array(16).fill(1), ...new Array(16).fill(0), ...new Array(16).fill(2)];
  for (let i = 8; i < 12; i++) wanted[i] = 100 + i; // word 2
  for (let i = 36; i < 40; i++) wanted[i] = 100 + i;
  const head = new Uint8Array(6);
  restore({ HEAPU8, _sbrk: () => end }, head);
  assert.deepEqual([...head], [9, 8, 7, 6, 5, 4]);
  assert.deepEqual([...HEAPU8], wanted);
});
