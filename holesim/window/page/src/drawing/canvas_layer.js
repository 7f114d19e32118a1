// A layer that is painted by hand: again only when the view or what it shows has changed.
import Layer from "ol/layer/Layer.js";

/** @param {(sheet: import("./paint.js").Sheet) => void} paint
 * @returns {{layer: Layer, again: () => void, setClear: (clear: boolean) => void}} */
export function createCanvasLayer(paint) {
  const canvas = document.createElement("canvas");
  canvas.className = "drawing-sheet";
  let stale = true;
  let shown = "";
  let clear = false;

  /** @param {import("ol/Map.js").FrameState | null} frame */
  function render(frame) {
    if (frame === null) return canvas;
    const [width, height] = frame.size;
    const ratio = frame.pixelRatio;
    const view = [...frame.coordinateToPixelTransform, width, height, ratio].join();
    if (!stale && view === shown) return canvas;
    [stale, shown] = [false, view];
    const [wide, high] = [Math.round(width * ratio), Math.round(height * ratio)];
    if (canvas.width !== wide || canvas.height !== high) [canvas.width, canvas.height] = [wide, high];
    const pen = canvas.getContext("2d");
    if (pen === null) return canvas;
    pen.setTransform(1, 0, 0, 1, 0, 0);
    pen.clearRect(0, 0, wide, high);
    const { resolution } = frame.viewState;
    paint({ pen, matrix: [...frame.coordinateToPixelTransform], ratio, metre: 1 / resolution, clear, box: frame.extent ?? [-Infinity, -Infinity, Infinity, Infinity] });
    return canvas;
  }

  const layer = new Layer({ render });
  return {
    layer,
    /** Have it painted again. */
    again() {
      stale = true;
      layer.changed();
    },
    /** Paint areas thinly, so that pictures under them are seen. */
    setClear(thin) {
      clear = thin;
      this.again();
    },
  };
}
