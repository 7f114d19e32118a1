// Geometries, and what hands do to them. All functions give new geometries and leave the old ones.
/** @typedef {import("../records").Geometry} Geometry */
/** @typedef {import("../records").Point} Point */
/** @typedef {import("../records").Polygon} Polygon */
/** A run of corners: a ring without its closing corner, a line, or a point alone.
 * @typedef {{points: Point[], closed: boolean}} Run */

const MILLIMETRES = 1000;

/** A place to a millimetre. @param {Point} place @returns {Point} */
export function rounded([x, y]) {
  return [Math.round(x * MILLIMETRES) / MILLIMETRES, Math.round(y * MILLIMETRES) / MILLIMETRES];
}

/** @param {Point} one @param {Point} other */
export const apart = (one, other) => Math.hypot(one[0] - other[0], one[1] - other[1]);

/** Whether a line ends where it begins. @param {Point[]} points */
function isRing(points) {
  const [first, last] = [points[0], points[points.length - 1]];
  return points.length > 3 && first[0] === last[0] && first[1] === last[1];
}

/** @param {Point[]} ring closed @returns {Run} */
const opened = (ring) => ({ points: isRing(ring) ? ring.slice(0, -1) : ring, closed: true });

/** Whether a geometry is a line: one that ends where it begins stands for the area within. @param {Geometry} geometry */
export function isLine(geometry) {
  return geometry.type === "MultiLineString" || (geometry.type === "LineString" && !isRing(geometry.coordinates));
}

/** The runs of corners of a geometry, in order. @param {Geometry} geometry @returns {Run[]} */
export function runsOf(geometry) {
  switch (geometry.type) {
    case "Point": return [{ points: [geometry.coordinates], closed: false }];
    case "LineString": return [isRing(geometry.coordinates) ? opened(geometry.coordinates) : { points: geometry.coordinates, closed: false }];
    case "MultiLineString": return geometry.coordinates.map((points) => ({ points, closed: false }));
    case "Polygon": return geometry.coordinates.map(opened);
    case "MultiPolygon": return geometry.coordinates.flat().map(opened);
    default: return [];
  }
}

/** @param {Point[]} points @returns {Point[]} */
const shut = (points) => [...points, points[0]];

/** The geometry with other corners in one run; a run that is too short is taken away, and with the outer ring its
 * polygon. @param {Geometry} geometry @param {number} run @param {Point[]} points
 * @returns {Geometry | null} null where nothing is left */
export function withRun(geometry, run, points) {
  switch (geometry.type) {
    case "Point": return points.length === 0 ? null : { type: "Point", coordinates: points[0] };
    case "LineString": {
      const ring = isRing(geometry.coordinates);
      return points.length < (ring ? 3 : 2) ? null : { type: "LineString", coordinates: ring ? shut(points) : points };
    }
    case "MultiLineString": {
      const lines = geometry.coordinates.flatMap((line, i) => (i !== run ? [line] : points.length < 2 ? [] : [points]));
      return lines.length === 0 ? null : { type: "MultiLineString", coordinates: lines };
    }
    case "Polygon": {
      const [polygon] = polygonsWith([geometry.coordinates], run, points);
      return polygon === undefined ? null : { type: "Polygon", coordinates: polygon };
    }
    case "MultiPolygon": {
      const polygons = polygonsWith(geometry.coordinates, run, points);
      return polygons.length === 0 ? null : { type: "MultiPolygon", coordinates: polygons };
    }
    default: return geometry;
  }
}

/** @param {Polygon[]} polygons @param {number} run @param {Point[]} points @returns {Polygon[]} */
function polygonsWith(polygons, run, points) {
  let count = 0;
  return polygons.flatMap((polygon) => {
    const at = run - count;
    count += polygon.length;
    if (at < 0 || at >= polygon.length) return [polygon];
    if (points.length >= 3) return [polygon.map((ring, i) => (i === at ? shut(points) : ring))];
    return at === 0 ? [] : [polygon.filter((_, i) => i !== at)];
  });
}

/** @param {Geometry} geometry @param {number} run @param {number} corner @param {Point} to @returns {Geometry} */
export function moveCorner(geometry, run, corner, to) {
  const points = runsOf(geometry)[run].points.map((place, i) => (i === corner ? to : place));
  return withRun(geometry, run, points) ?? geometry;
}

/** Put a corner between one and the next. @param {Geometry} geometry @param {number} run @param {number} after
 * @param {Point} at @returns {Geometry} */
export function insertCorner(geometry, run, after, at) {
  return withRun(geometry, run, runsOf(geometry)[run].points.toSpliced(after + 1, 0, at)) ?? geometry;
}

/** @param {Geometry} geometry @param {number} run @param {number} corner
 * @returns {Geometry | null} null where nothing is left */
export function removeCorner(geometry, run, corner) {
  return withRun(geometry, run, runsOf(geometry)[run].points.toSpliced(corner, 1));
}

/** The whole shape moved. @param {Geometry} geometry @param {number} dx [m] @param {number} dy [m] @returns {Geometry} */
export function shifted(geometry, dx, dy) {
  /** @param {any} part @returns {any} */
  const move = (part) => (typeof part[0] === "number" ? rounded([part[0] + dx, part[1] + dy]) : part.map(move));
  return /** @type {Geometry} */ ({ type: geometry.type, coordinates: move(geometry.coordinates) });
}

/** An outline with a hole cut into it, where the hole begins within it; else null.
 * @param {Geometry} geometry @param {Point[]} hole @returns {Geometry | null} */
export function withHole(geometry, hole) {
  const ring = shut(hole);
  if (geometry.type === "Polygon") {
    return withinPolygon(geometry.coordinates, hole[0]) ? { type: "Polygon", coordinates: [...geometry.coordinates, ring] } : null;
  }
  if (geometry.type !== "MultiPolygon") return null;
  const at = geometry.coordinates.findIndex((polygon) => withinPolygon(polygon, hole[0]));
  if (at < 0) return null;
  return { type: "MultiPolygon", coordinates: geometry.coordinates.map((one, i) => (i === at ? [...one, ring] : one)) };
}

/** A geometry of corners that were drawn. @param {"area" | "line" | "point"} shape @param {Point[]} points
 * @returns {Geometry} */
export function geometryOf(shape, points) {
  if (shape === "point") return { type: "Point", coordinates: points[0] };
  if (shape === "line") return { type: "LineString", coordinates: points };
  return { type: "Polygon", coordinates: [shut(points)] };
}

/** Whether a place lies within a ring. @param {Point[]} ring @param {Point} place */
export function withinRing(ring, [x, y]) {
  let within = false;
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
    const [xi, yi] = ring[i];
    const [xj, yj] = ring[j];
    if (yi > y !== yj > y && x < ((xj - xi) * (y - yi)) / (yj - yi) + xi) within = !within;
  }
  return within;
}

/** The areas of a geometry. @param {Geometry | null} geometry @returns {Polygon[]} */
export function polygonsOf(geometry) {
  if (geometry?.type === "Polygon") return [geometry.coordinates];
  if (geometry?.type === "LineString" && isRing(geometry.coordinates)) return [[geometry.coordinates]];
  return geometry?.type === "MultiPolygon" ? geometry.coordinates : [];
}

/** @param {Polygon} polygon @param {Point} place */
export function withinPolygon(polygon, place) {
  return withinRing(polygon[0], place) && !polygon.slice(1).some((hole) => withinRing(hole, place));
}

/** @type {WeakMap<Geometry, number[]>} */ const BOXES = new WeakMap();

/** West, south, east, north [m]. @param {Geometry} geometry */
export function boxOf(geometry) {
  let box = BOXES.get(geometry);
  if (box === undefined) {
    box = [Infinity, Infinity, -Infinity, -Infinity];
    for (const { points } of runsOf(geometry)) {
      for (const [x, y] of points) {
        box[0] = Math.min(box[0], x);
        box[1] = Math.min(box[1], y);
        box[2] = Math.max(box[2], x);
        box[3] = Math.max(box[3], y);
      }
    }
    BOXES.set(geometry, box);
  }
  return box;
}

/** The box around several geometries, or null. @param {Iterable<Geometry | null>} geometries */
export function boxAround(geometries) {
  const box = [Infinity, Infinity, -Infinity, -Infinity];
  for (const geometry of geometries) {
    if (geometry === null) continue;
    const [west, south, east, north] = boxOf(geometry);
    box[0] = Math.min(box[0], west);
    box[1] = Math.min(box[1], south);
    box[2] = Math.max(box[2], east);
    box[3] = Math.max(box[3], north);
  }
  return Number.isFinite(box[0]) ? box : null;
}
