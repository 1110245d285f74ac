/** Outlines of areas from typed sides. Corners are in the plan's unit, counter-clockwise. */

export type Corner = [number, number];

const round = (number: number): number => Math.round(number * 1e6) / 1e6;

export function rectangle(length: number, width: number): Corner[] {
  return [[0, 0], [length, 0], [length, width], [0, width]];
}

/** A rectangle with a smaller one cut out of its far right corner. */
export function lShape(length: number, width: number, cutLength: number, cutWidth: number): Corner[] | null {
  if (cutLength >= length || cutWidth >= width) return null;
  return [
    [0, 0], [length, 0], [length, round(width - cutWidth)],
    [round(length - cutLength), round(width - cutWidth)], [round(length - cutLength), width], [0, width],
  ];
}

/** One side to walk, and how far to turn left at its end, in degrees. */
export interface Side {
  length: number;
  turn: number;
}

/** Corners reached by walking the sides; how far the end lies from the beginning. */
export function walked(sides: readonly Side[]): { corners: Corner[]; gap: number } {
  const corners: Corner[] = [[0, 0]];
  let [x, y, heading] = [0, 0, 0];
  for (const side of sides) {
    x += side.length * Math.cos((heading * Math.PI) / 180);
    y += side.length * Math.sin((heading * Math.PI) / 180);
    heading += side.turn;
    corners.push([round(x), round(y)]);
  }
  const gap = Math.hypot(x, y);
  const closed = corners.length > 3 && gap < 1e-3 * sides.reduce((sum, side) => sum + side.length, 0);
  return { corners: closed ? corners.slice(0, -1) : corners, gap };
}

/** Area by the shoelace formula; positive where the corners go counter-clockwise. */
export function areaOf(corners: readonly Corner[]): number {
  return corners.reduce((sum, [x, y], at) => {
    const [nextX, nextY] = corners[(at + 1) % corners.length] ?? [0, 0];
    return sum + (x * nextY - nextX * y) / 2;
  }, 0);
}

const crossed = (a: Corner, b: Corner, c: Corner, d: Corner): boolean => {
  const side = (p: Corner, q: Corner, r: Corner) => Math.sign((q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]));
  return side(a, b, c) * side(a, b, d) < 0 && side(c, d, a) * side(c, d, b) < 0;
};

/** Whether the outline crosses itself. */
export function crosses(corners: readonly Corner[]): boolean {
  const count = corners.length;
  return corners.some((a, at) =>
    corners.some((c, other) => {
      const [b, d] = [corners[(at + 1) % count], corners[(other + 1) % count]];
      return b !== undefined && d !== undefined && other > at && crossed(a, b, c, d);
    }),
  );
}

export const moved = (corners: readonly Corner[], by: number): Corner[] => corners.map(([x, y]) => [round(x + by), y]);

/** As GeoJSON has it: closed, the last corner repeats the first. */
export function polygon(corners: readonly Corner[]): { type: "Polygon"; coordinates: Corner[][] } {
  const ring = areaOf(corners) < 0 ? [...corners].reverse() : [...corners];
  const first = ring[0];
  return { type: "Polygon", coordinates: [first === undefined ? ring : [...ring, first]] };
}
