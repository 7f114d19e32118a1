// Pictures under the drawing: decoded by the browser, made smaller once where they are large, and drawn as they lie.
/** @typedef {import("../records").Picture} Picture */
/** @typedef {import("../records").Point} Point */
/** @typedef {{bitmap: ImageBitmap | null, size: Point, seen: number, asked: boolean}} Loaded size: of the file [px] */
import { createCanvasLayer } from "./canvas_layer.js";
import { onMetres, toPixel } from "./paint.js";
import { cornersOf, layOf } from "./picture_place.js";

const LONGEST = 4096; // px kept of a picture
const MOST = 6; // pictures kept decoded

/** A picture as the browser shows it, no longer than is kept. @param {Blob} blob @returns {Promise<{bitmap: ImageBitmap, size: Point}>} */
export async function decoded(blob) {
  const whole = await createImageBitmap(blob);
  const size = /** @type {Point} */ ([whole.width, whole.height]);
  const shrink = LONGEST / Math.max(...size);
  if (shrink >= 1) return { bitmap: whole, size };
  const bitmap = await createImageBitmap(whole, {
    resizeWidth: Math.round(size[0] * shrink), resizeHeight: Math.round(size[1] * shrink), resizeQuality: "high",
  });
  whole.close();
  return { bitmap, size };
}

/** @param {import("./drawing_map.js").DrawingMap} map @param {(name: string) => Promise<Blob>} read
 * @param {(line: string) => void} failed told why a picture is not shown */
export function createPictureLayer(map, read, failed) {
  /** @type {Picture[]} */ let pictures = [];
  /** @type {Set<string>} */ let hidden = new Set();
  /** @type {Map<string, Loaded>} */ const loaded = new Map();
  let opacity = 0.7;
  let paints = 0;
  let line = Promise.resolve();
  const sheet = createCanvasLayer(paint);
  map.addLayerUnder(sheet.layer);

  /** @param {import("./paint.js").Sheet} on */
  function paint(on) {
    paints++;
    const [width, height] = map.size();
    for (const { name, marks } of pictures) {
      if (hidden.has(name)) continue;
      const lay = layOf(marks);
      const one = loaded.get(name);
      if (one !== undefined && one.size[0] > 0) {
        const corners = cornersOf(lay, one.size).map((corner) => toPixel(on, corner));
        const out = [0, 1].some((i) => corners.every((at) => at[i] < 0) || corners.every((at) => at[i] > [width, height][i]));
        if (out) continue;
        one.seen = paints;
      }
      if (one?.bitmap == null) {
        load(name);
        continue;
      }
      onMetres(on);
      on.pen.transform(lay.a, lay.b, lay.b, -lay.a, lay.east, lay.north);
      on.pen.globalAlpha = opacity;
      on.pen.imageSmoothingQuality = "medium"; // thin lines of a page stay whole
      on.pen.drawImage(one.bitmap, 0, 0, ...one.size);
      on.pen.globalAlpha = 1;
    }
  }

  /** Have a picture read, after those before it. @param {string} name */
  function load(name) {
    const one = loaded.get(name) ?? { bitmap: null, size: /** @type {Point} */ ([0, 0]), seen: paints, asked: false };
    loaded.set(name, one);
    if (one.asked) return;
    one.asked = true;
    line = line.then(async () => {
      try {
        put(name, await decoded(await read(name)));
      } catch (refused) {
        failed(refused instanceof DOMException ? `${name} cannot be shown: it is no picture that this browser reads.` : /** @type {Error} */ (refused).message);
      }
    });
  }

  /** @param {string} name @param {{bitmap: ImageBitmap, size: Point}} read */
  function put(name, { bitmap, size }) {
    loaded.get(name)?.bitmap?.close();
    loaded.set(name, { bitmap, size, seen: paints + 1, asked: false });
    const kept = [...loaded.values()].filter((one) => one.bitmap !== null).sort((a, b) => b.seen - a.seen);
    for (const one of kept.slice(MOST)) {
      one.bitmap?.close();
      one.bitmap = null;
    }
    sheet.again();
  }

  return {
    put,
    /** @param {Picture[]} laid @param {Set<string>} off names of those not shown */
    show(laid, off) {
      if (laid === pictures && off === hidden) return;
      [pictures, hidden] = [laid, off];
      map.seeThrough(pictures.some(({ name }) => !hidden.has(name)));
      sheet.again();
    },
    /** The size of a picture, once it has been read [px]. @param {string} name @returns {Promise<Point | null>} */
    async sizeOf(name) {
      if (!(loaded.get(name)?.size[0] ?? 0)) load(name);
      await line;
      const size = loaded.get(name)?.size;
      return size === undefined || size[0] === 0 ? null : size;
    },
    /** Read it again when it is shown next. @param {string} name */
    forget(name) {
      loaded.get(name)?.bitmap?.close();
      loaded.delete(name);
    },
    opacity: () => opacity,
    /** @param {number} share */
    setOpacity(share) {
      opacity = share;
      sheet.again();
    },
  };
}
/** @typedef {ReturnType<typeof createPictureLayer>} PictureLayer */
