/** Walls and joints that follow from the areas: proposed, never drawn by themselves. */

import { clipped, cross, cutAtCorners, distance, dot, minus, nearest, plus, same, sides, tidy, times, turned, unit, type Point, type Segment } from "./shapes";

/** The outer sides of the areas, one piece for each straight run; where two areas meet there is none, and none where a wall stands. */
export function outerSides(areas: readonly (readonly Point[])[], walls: readonly Segment[] = []): Segment[] {
  const rings = areas.map((area) => turned(tidy(area, true)));
  const corners = [...rings.flat(), ...walls.flat()];
  const pieces = rings.flatMap((ring) => cutAtCorners(sides(ring, true), corners));
  const opposite = (s: Segment, r: Segment) => same(s[0], r[1]) && same(s[1], r[0]);
  const walled = ([a, b]: Segment) =>
    walls.some((wall) => [a, b].every((end) => same(nearest(end, wall).at, end)));
  return runs(pieces.filter((piece) => !pieces.some((other) => opposite(piece, other)) && !walled(piece)));
}

/** Pieces that go straight on are one. */
function runs(pieces: readonly Segment[]): Segment[] {
  const found = pieces.map(([a, b]): Segment => [a, b]);
  for (let at = 0; at < found.length; at += 1) {
    const piece = found[at] as Segment;
    const next = found.findIndex((other, place) => place !== at && same(piece[1], other[0]) && straight(piece, other));
    if (next >= 0) {
      piece[1] = (found[next] as Segment)[1];
      found.splice(next, 1);
      // What grew may go on, and those before it moved up.
      at = -1;
    }
  }
  return found;
}

function straight([a, b]: Segment, [c, d]: Segment): boolean {
  const [one, other] = [unit(minus(b, a)), unit(minus(d, c))];
  return one !== null && other !== null && Math.abs(cross(one, other)) < 1e-6 && dot(one, other) > 0;
}

export interface JointGrid {
  /** Distance between joints that run across, and between those that run along. */
  along: number;
  across: number;
  /** From the corner that the grid begins at to the first joint; a whole panel where nothing is said. */
  firstAlong?: number;
  firstAcross?: number;
  /** Degrees that the grid is turned, against the clock. */
  turned?: number;
}

/** Joints of a regular grid, clipped to an area. */
export function jointGrid(ring: readonly Point[], grid: JointGrid): Segment[] {
  const angle = ((grid.turned ?? 0) * Math.PI) / 180;
  const x: Point = [Math.cos(angle), Math.sin(angle)];
  const y: Point = [-x[1], x[0]];
  const inGrid = ring.map((corner): Point => [dot(corner, x), dot(corner, y)]);
  const range = (axis: 0 | 1): [number, number] => {
    const all = inGrid.map((corner) => corner[axis]);
    return [Math.min(...all), Math.max(...all)];
  };
  const [left, right] = range(0);
  const [low, high] = range(1);
  const back = (u: number, v: number): Point => plus(times(x, u), times(y, v));
  const found: Segment[] = [];
  for (const u of steps(left, right, grid.along, grid.firstAlong)) {
    found.push(...clipped([back(u, low - 1), back(u, high + 1)], ring));
  }
  for (const v of steps(low, high, grid.across, grid.firstAcross)) {
    found.push(...clipped([back(left - 1, v), back(right + 1, v)], ring));
  }
  return found;
}

/** More joints than this in one direction are a slip of the unit. */
const MOST = 200;

function steps(from: number, to: number, pitch: number, first = pitch): number[] {
  if (!(pitch > 0) || (to - from) / pitch > MOST) {
    return [];
  }
  const found: number[] = [];
  for (let at = from + first; at < to - 1e-6; at += pitch) {
    if (at > from + 1e-6) {
      found.push(at);
    }
  }
  return found;
}

/** Loose lines end to end as longer ones; those that come back to their beginning are closed. */
export function chained(lines: readonly (readonly Point[])[], within: number): { points: Point[]; closed: boolean }[] {
  const rest = lines.map((line) => tidy(line, false)).filter((line) => line.length > 1);
  const found: { points: Point[]; closed: boolean }[] = [];
  for (let line = rest.shift(); line !== undefined; line = rest.shift()) {
    let points = line;
    for (let grown = true; grown && !same(points[0] as Point, points[points.length - 1] as Point, within); ) {
      const end = points[points.length - 1] as Point;
      const at = rest.findIndex((other) => [other[0], other[other.length - 1]].some((tip) => distance(tip as Point, end) <= within));
      grown = at >= 0;
      if (grown) {
        const next = rest.splice(at, 1)[0] as Point[];
        points = [...points, ...(same(next[0] as Point, end, within) ? next : [...next].reverse()).slice(1)];
      }
    }
    const closed = points.length > 3 && same(points[0] as Point, points[points.length - 1] as Point, within);
    found.push({ points: closed ? points.slice(0, -1) : points, closed });
  }
  return found;
}
