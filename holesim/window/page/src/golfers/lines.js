// A line through a few values, as a small picture.

/** The points of a line in a box, the least value at its foot; one that does not change lies in the middle.
 * @param {number[]} values @param {number} wide @param {number} tall @param {number} margin @returns {[number, number][]} */
export function linePoints(values, wide, tall, margin) {
  const [low, high] = [Math.min(...values), Math.max(...values)];
  const step = values.length > 1 ? (wide - 2 * margin) / (values.length - 1) : 0;
  return values.map((value, k) => {
    const up = high > low ? (value - low) / (high - low) : 0.5;
    return [Math.round((margin + k * step) * 10) / 10, Math.round((tall - margin - up * (tall - 2 * margin)) * 10) / 10];
  });
}
