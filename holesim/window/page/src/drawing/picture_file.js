// Files of pictures: their kind and size as their first bytes say, before anything is decoded.
/** @typedef {"JPEG" | "PNG" | "WebP"} PictureKind */
/** @typedef {{kind: PictureKind, width: number, height: number}} PictureHead */
import { folderName } from "../words.js";

const MOST_BYTES = 25e6;
const MOST_PIXELS = 40e6;
const SUFFIX = { JPEG: "jpg", PNG: "png", WebP: "webp" };

/** Kind and size of a picture; null where it is none of the three kinds. @param {Uint8Array} bytes @returns {PictureHead | null} */
export function headOf(bytes) {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const text = (/** @type {number} */ from, /** @type {number} */ to) => String.fromCharCode(...bytes.subarray(from, to));
  try {
    if (text(1, 4) === "PNG" && bytes[0] === 0x89) return { kind: "PNG", width: view.getUint32(16), height: view.getUint32(20) };
    if (bytes[0] === 0xff && bytes[1] === 0xd8) return jpegHead(view);
    if (text(0, 4) === "RIFF" && text(8, 12) === "WEBP") return webpHead(view, text(12, 16));
  } catch (error) {
    if (!(error instanceof RangeError)) throw error; // the file ends early
  }
  return null;
}

/** @param {DataView} view @returns {PictureHead | null} */
function jpegHead(view) {
  let at = 2;
  for (;;) {
    const marker = view.getUint8(at + 1);
    if (view.getUint8(at) !== 0xff) return null;
    if (marker === 0xff) at += 1; // filled up
    else if (marker >= 0xc0 && marker <= 0xcf && ![0xc4, 0xc8, 0xcc].includes(marker)) {
      return { kind: "JPEG", width: view.getUint16(at + 7), height: view.getUint16(at + 5) };
    } else at += 2 + view.getUint16(at + 2);
  }
}

/** @param {DataView} view @param {string} chunk @returns {PictureHead | null} */
function webpHead(view, chunk) {
  const three = (/** @type {number} */ at) => view.getUint16(at, true) + (view.getUint8(at + 2) << 16) + 1;
  if (chunk === "VP8X") return { kind: "WebP", width: three(24), height: three(27) };
  if (chunk === "VP8 ") return { kind: "WebP", width: view.getUint16(26, true) & 0x3fff, height: view.getUint16(28, true) & 0x3fff };
  if (chunk !== "VP8L") return null;
  const bits = view.getUint32(21, true);
  return { kind: "WebP", width: (bits & 0x3fff) + 1, height: ((bits >> 14) & 0x3fff) + 1 };
}

/** Why a picture is not taken, in one line; empty where it is. @param {string} name @param {number} bytes
 * @param {PictureHead | null} head */
export function refusalOf(name, bytes, head) {
  if (head === null) return `${name} is no JPEG, PNG or WebP picture: save it as one of these and add that.`;
  if (bytes > MOST_BYTES) return `${name} has ${(bytes / 1e6).toFixed(0)} MB, more than 25 MB: save it smaller and add that.`;
  const pixels = head.width * head.height;
  if (pixels > MOST_PIXELS) return `${name} has ${(pixels / 1e6).toFixed(0)} megapixels, more than 40: make it smaller and add that.`;
  return pixels === 0 ? `${name} has no size: save it anew as JPEG or PNG.` : "";
}

/** A name for a picture that is free in the folder, beside its course. @param {string} name @param {PictureKind} kind
 * @param {string} course @param {string[]} taken */
export function pictureName(name, kind, course, taken) {
  const stem = folderName(name.replace(/\.[^.]*$/, "")) || "page";
  const folder = course.includes("/") ? course.slice(0, course.lastIndexOf("/") + 1) : "";
  for (let i = 1; ; i++) {
    const free = `${folder}${stem}${i === 1 ? "" : `-${i}`}.${SUFFIX[kind]}`;
    if (!taken.includes(free)) return free;
  }
}
