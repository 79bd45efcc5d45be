// A text as a chain of links, each short enough for one QR code, and the text again from all of them in any order.

const PART = 480; // characters of a link's data: a code that a phone reads from a screen
export const MOST_CODES = 40; // more is handed over sooner as a file
const LINK = /^#f=([0-9a-f]{8})\.(\d{1,3})\.(\d{1,3})\.([\w-]+)$/;

/** @typedef {{ id: string, at: number, count: number, data: string }} Link `id` of the chain, `at` its place, from 1 */

/** FNV-1a, 32 bits: tells a chain that is not whole, no more. @param {string} text */
function markOf(text) {
  let hash = 0x811c9dc5;
  for (let i = 0; i < text.length; i += 1) hash = Math.imul(hash ^ text.charCodeAt(i), 0x01000193);
  return (hash >>> 0).toString(16).padStart(8, "0");
}

/** @param {ReadableStream<Uint8Array>} stream */
const bytesOf = async (stream) => new Uint8Array(await new Response(stream).arrayBuffer());

/** The fragments of a text, without "#". @param {string} text */
export async function toChain(text) {
  const packed = await bytesOf(new Blob([text]).stream().pipeThrough(new CompressionStream("deflate-raw")));
  const letters = btoa(Array.from(packed, (byte) => String.fromCharCode(byte)).join("")).replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "");
  const id = markOf(letters);
  const count = Math.ceil(letters.length / PART);
  return Array.from({ length: count }, (_, i) => `f=${id}.${i + 1}.${count}.${letters.slice(i * PART, (i + 1) * PART)}`);
}

/** The link in a page's fragment; null for none. @param {string} fragment @returns {Link | null} */
export function linkIn(fragment) {
  const [, id, at, count, data] = LINK.exec(fragment) ?? [];
  const link = { id, at: Number(at), count: Number(count), data };
  return data && link.at > 0 && link.at <= link.count && link.count <= MOST_CODES ? link : null;
}

/** The text of a whole chain; null where it is damaged. @param {string} id @param {string[]} parts in order */
export async function fromChain(id, parts) {
  const letters = parts.join("");
  if (markOf(letters) !== id) return null;
  try {
    const packed = Uint8Array.from(atob(letters.replaceAll("-", "+").replaceAll("_", "/")), (letter) => letter.charCodeAt(0));
    return new TextDecoder().decode(await bytesOf(new Blob([packed]).stream().pipeThrough(new DecompressionStream("deflate-raw"))));
  } catch {
    return null;
  }
}
