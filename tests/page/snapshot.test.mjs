// The memory of Python as the worker opens it, from a packed one made here by the layout that runtime/snapshot.mjs tells.
import assert from "node:assert/strict";
import { test } from "node:test";

import { unpack } from "../../dist/worker/snapshot.mjs";

test("pages come back to their places, what the module brings is copied, and each browser's own word stays its own", () => {
  const about = { length: 6 + 16 * 4, head: 6, page: 16, word: 4, pages: [1, 1, 1, 1], same: [2, 1], own: [52] };
  const told = new TextEncoder().encode(JSON.stringify(about));
  const size = new Uint8Array(4);
  new DataView(size.buffer).setUint32(0, told.length, true);
  const head = [9, 8, 7, 6, 5, 4];
  const pages = [...new Array(16).fill(1), ...new Array(16).fill(2)]; // pages 1 and 3; 0 and 2 are empty
  const { snapshot, complete } = unpack(Uint8Array.from([...size, ...told, ...head, ...pages]));
  const fresh = Uint8Array.from({ length: 64 }, (_, place) => 100 + place);
  const wanted = [...head, ...new Array(16).fill(0), ...new Array(16).fill(1), ...new Array(16).fill(0), ...new Array(16).fill(2)];
  assert.deepEqual([...snapshot], wanted);
  complete(fresh);
  for (let i = 8; i < 12; i++) wanted[6 + i] = 100 + i; // word 2
  for (let i = 52; i < 56; i++) wanted[6 + i] = 100 + i;
  assert.deepEqual([...snapshot], wanted);
});
