// @ts-check
/**
 * A picture's file becomes bare pixels, small enough to measure. Its kind and size are read from its first bytes, before
 * anything is decoded; whatever is no still photograph is refused. The same limits as on the command line.
 */

/** @typedef {{megabytes: number, megapixels: number, kept: number, longest: number}} Limits */
/** What a file says of itself; `lying` where the camera was held so that the sides change places. @typedef {{width: number, height: number, moving: boolean, lying: boolean}} Header */

/** Enough for everything that stands before a picture's own data, maps of colours and small copies among it. */
const HEAD_BYTES = 4_000_000;
const ORIENTATION = 0x0112; // Exif 2.3
const FIRST_LYING = 5;

/** Why a file is not measured, by a key of the words. */
export class FileRefused extends Error {
  /** @param {string} key @param {number} [high] */
  constructor(key, high) {
    super(key);
    this.key = key;
    this.high = high;
  }
}

/**
 * The pixels of a picture, upright, on white where it is clear.
 * @param {File} file
 * @param {Limits} limits
 * @returns {Promise<ImageData>}
 */
export async function pixelsOf(file, limits) {
  if (file.size === 0) throw new FileRefused("picture_empty");
  if (file.size > limits.megabytes * 1e6) throw new FileRefused("picture_file_too_large", limits.megabytes);
  const said = header(new DataView(await bytes(file)));
  if (said.moving) throw new FileRefused("picture_moving");
  const pixels = said.width * said.height;
  if (!pixels) throw new FileRefused("picture_not_a_picture");
  if (pixels > limits.megapixels * 1e6) throw new FileRefused("picture_too_large", limits.megapixels);
  const factor = Math.max(1, Math.sqrt(pixels / limits.kept), Math.max(said.width, said.height) / limits.longest);
  const sides = [said.width, said.height].map((side) => Math.max(1, Math.floor(side / factor)));
  const [width, height] = said.lying ? sides.reverse() : sides;
  return drawn(await decoded(file, width, height), width, height);
}

/** @param {File} file */
async function bytes(file) {
  try {
    return await file.slice(0, HEAD_BYTES).arrayBuffer();
  } catch {
    throw new FileRefused("picture_unreadable");
  }
}

/** @param {File} file @param {number} width @param {number} height */
async function decoded(file, width, height) {
  try {
    return await createImageBitmap(file, {
      imageOrientation: "from-image", resizeWidth: width, resizeHeight: height, resizeQuality: "high",
    });
  } catch {
    throw new FileRefused("picture_damaged");
  }
}

/** @param {ImageBitmap} bitmap @param {number} width @param {number} height */
function drawn(bitmap, width, height) {
  const canvas = Object.assign(document.createElement("canvas"), { width, height });
  const context = canvas.getContext("2d", { willReadFrequently: true });
  if (!context) throw new FileRefused("picture_damaged");
  context.fillStyle = "white";
  context.fillRect(0, 0, width, height);
  context.drawImage(bitmap, 0, 0, width, height);
  bitmap.close();
  const image = context.getImageData(0, 0, width, height);
  canvas.width = canvas.height = 0; // lets go of the copy at once
  return image;
}

/**
 * What a file's first bytes say of it.
 * @param {DataView} view
 * @returns {Header}
 */
export function header(view) {
  try {
    if (view.getUint16(0) === 0xffd8) return jpeg(view);
    if (view.getUint32(0) === 0x89504e47) return png(view);
    if (word(view, 0) === "RIFF" && word(view, 8) === "WEBP") return webp(view);
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    throw new FileRefused(view.byteLength < 12 ? "picture_not_a_picture" : "picture_damaged");
  }
  throw new FileRefused("picture_not_a_picture");
}

/** Four letters. @param {DataView} view @param {number} at */
function word(view, at) {
  return String.fromCharCode(...[0, 1, 2, 3].map((more) => view.getUint8(at + more)));
}

/** ISO/IEC 10918-1: segments, each with its length, up to a frame's header. @param {DataView} view @returns {Header} */
function jpeg(view) {
  let lying = false;
  for (let at = 2; ; ) {
    if (view.getUint8(at) !== 0xff) throw new FileRefused("picture_damaged");
    const marker = view.getUint8(at + 1);
    if (marker === 0xff) {
      at += 1; // a filling byte
    } else if (marker >= 0xc0 && marker <= 0xcf && ![0xc4, 0xc8, 0xcc].includes(marker)) {
      return { width: view.getUint16(at + 7), height: view.getUint16(at + 5), moving: false, lying };
    } else {
      if (marker === 0xe1 && word(view, at + 4) === "Exif") lying = turned(view, at + 10) >= FIRST_LYING;
      at += 2 + view.getUint16(at + 2);
    }
  }
}

/** How the camera was held, from 1 to 8; 1 where that cannot be read. @param {DataView} view @param {number} start */
function turned(view, start) {
  try {
    const little = view.getUint16(start) === 0x4949;
    const first = start + view.getUint32(start + 4, little);
    for (let entry = 0; entry < view.getUint16(first, little); entry += 1) {
      const at = first + 2 + 12 * entry;
      if (view.getUint16(at, little) === ORIENTATION) return view.getUint16(at + 8, little);
    }
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
  }
  return 1;
}

/** W3C PNG, third edition: an animation says so before the picture's data. @param {DataView} view @returns {Header} */
function png(view) {
  const size = { width: view.getUint32(16), height: view.getUint32(20), lying: false };
  for (let at = 8; at + 8 <= view.byteLength; at += 12 + view.getUint32(at)) {
    if (word(view, at + 4) === "IDAT") break;
    if (word(view, at + 4) === "acTL") return { ...size, moving: true };
  }
  return { ...size, moving: false };
}

/** RFC 9649: three kinds of first chunk. @param {DataView} view @returns {Header} */
function webp(view) {
  const kind = word(view, 12);
  if (kind === "VP8X") {
    const side = (/** @type {number} */ at) => 1 + view.getUint16(at, true) + 65536 * view.getUint8(at + 2);
    return { width: side(24), height: side(27), moving: (view.getUint8(20) & 2) !== 0, lying: false };
  }
  if (kind === "VP8L") {
    const bits = view.getUint32(21, true);
    return { width: 1 + (bits & 0x3fff), height: 1 + ((bits >>> 14) & 0x3fff), moving: false, lying: false };
  }
  if (kind !== "VP8 ") throw new FileRefused("picture_damaged");
  return { width: view.getUint16(26, true) & 0x3fff, height: view.getUint16(28, true) & 0x3fff, moving: false, lying: false };
}
