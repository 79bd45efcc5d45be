// What the bytes of a photo say of it, whatever its name: that it is one, and by which lens (EXIF). No DOM here.

const HEAD = 256 * 1024; // bytes in which a phone writes what it says of a photo
const BRANDS = ["heic", "heix", "heim", "heis", "mif1", "msf1", "avif", "avis"]; // of photos in the container of clips
const [POINTER, LENS] = [0x8769, 0xa405]; // tags of EXIF 2.3: where its own list is; the 35 mm equivalent, mm
const LENSES = { least: 8, most: 300 }; // mm
const WHOLE = [4 / 3, 3 / 2]; // shapes of the sensors of phones and cameras,
const SHAPE = 0.01; // to that share: of a photo that was cut the lens says nothing

/** @param {Blob} file @param {number} size */
const headOf = async (file, size) => new DataView(await file.slice(0, size).arrayBuffer());

/** @param {DataView} bytes @param {number} at @param {number} long */
const text = (bytes, at, long) => String.fromCharCode(...Array.from({ length: Math.max(0, Math.min(long, bytes.byteLength - at)) }, (_, i) => bytes.getUint8(at + i)));

/** Whether a file is a photo: "plain", of a kind that each browser shows; "other", of one that only some do; "" if it does not begin like one. @param {Blob} file */
export async function photoKind(file) {
  const start = text(await headOf(file, 12), 0, 12);
  if (start.startsWith("\xff\xd8\xff") || start.startsWith("\x89PNG") || /^RIFF.{4}WEBP/s.test(start)) return "plain";
  return start.slice(4, 8) === "ftyp" && BRANDS.includes(start.slice(8)) ? "other" : "";
}

/** The lens that took a photo of this size, 35 mm equivalent (mm), or null where the file does not say it or the photo was cut. @param {Blob} file @param {Film.Size} picture */
export async function lensOf(file, { width, height }) {
  const shape = Math.max(width, height) / Math.min(width, height);
  if (WHOLE.every((one) => Math.abs(shape / one - 1) > SHAPE)) return null;
  const bytes = await headOf(file, HEAD);
  const start = new TextDecoder("latin1").decode(bytes).indexOf("Exif\0\0") + 6; // one letter a byte
  if (start < 6) return null;
  try {
    const little = text(bytes, start, 2) === "II";
    const own = valueOf(bytes, start, bytes.getUint32(start + 4, little), POINTER, little);
    const mm = own && valueOf(bytes, start, own, LENS, little);
    return mm && mm >= LENSES.least && mm <= LENSES.most ? mm : null;
  } catch { // it points out of what was read
    return null;
  }
}

/** The number under a tag of a list of EXIF, 0 where it has none. @param {DataView} bytes @param {number} start @param {number} list @param {number} tag @param {boolean} little */
function valueOf(bytes, start, list, tag, little) {
  const count = bytes.getUint16(start + list, little);
  for (let at = start + list + 2; at < start + list + 2 + 12 * count; at += 12) {
    if (bytes.getUint16(at, little) !== tag) continue;
    return bytes.getUint16(at + 2, little) === 3 ? bytes.getUint16(at + 8, little) : bytes.getUint32(at + 8, little);
  }
  return 0;
}
