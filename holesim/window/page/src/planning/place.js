// Where things that lie over the picture leave the hole free.
/** @typedef {import("../records").Point} Point */
/** @typedef {{left: number, top: number, right: number, bottom: number}} Box */

const CLEAR = 10; // px around a box
const SWEEPS = 20;

/** @param {Box} one @param {Box} other */
export function overlap(one, other) {
  return one.left < other.right && other.left < one.right && one.top < other.bottom && other.top < one.bottom;
}

/** The first of the boxes that covers the fewest points. @param {Box[]} boxes @param {Point[]} points */
export function emptiest(boxes, points) {
  const covered = boxes.map(({ left, top, right, bottom }) => points.filter(([x, y]) =>
    x > left - CLEAR && x < right + CLEAR && y > top - CLEAR && y < bottom + CLEAR).length);
  return boxes[covered.indexOf(Math.min(...covered))];
}

/** The boxes of a size along the left and right edges of a free area, from the foot up, the left ones first.
 * @param {Box} area @param {number} width @param {number} height @returns {Box[]} */
export function alongEdges({ left, top, right, bottom }, width, height) {
  const room = Math.max(bottom - top - height, 0);
  return [left, Math.max(right - width, left)].flatMap((x) => [1, 0.75, 0.5, 0.25, 0].map((share) => {
    const y = top + share * room;
    return { left: x, top: y, right: x + width, bottom: y + height };
  }));
}

/** Where markers are drawn: moved sideways where two would lie nearer to each other than `apart`.
 * @param {Point[]} places @param {number} apart @returns {Point[]} */
export function spread(places, apart) {
  const moved = places.map(([x, y]) => /** @type {Point} */ ([x, y]));
  const order = places.map((_, i) => i).sort((a, b) => places[a][0] - places[b][0]);
  for (let sweep = 0; sweep < SWEEPS; sweep++) {
    for (let i = 1; i < order.length; i++) {
      for (let j = 0; j < i; j++) {
        const [left, right] = [moved[order[j]], moved[order[i]]];
        const aside = Math.sqrt(Math.max(apart ** 2 - (right[1] - left[1]) ** 2, 0));
        const short = (aside - (right[0] - left[0])) / 2;
        if (short <= 0) continue;
        left[0] -= short;
        right[0] += short;
      }
    }
  }
  return moved;
}
