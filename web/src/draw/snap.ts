/** Where a finger means to be: on a corner, an edge, square to the last side, or along the axes. */

import { cross, distance, dot, meeting, minus, nearest, plus, same, times, unit, type Point, type Segment } from "./shapes";

export type SnappedBy = "corner" | "edge" | "square" | "axis";

export interface Snapped {
  at: Point;
  by: SnappedBy | null;
  /** Lines that the place was drawn to, to be shown. */
  guides: Segment[];
}

export interface Around {
  /** Corners and ends of other marks. */
  corners: readonly Point[];
  edges: readonly Segment[];
  /** Corners drawn so far, the last one last. */
  drawn: readonly Point[];
  /** Neighbours of a corner that is dragged: it may lie along the axes from them. */
  beside?: readonly Point[];
  /** How far a finger reaches, in the plan's unit. */
  reach: number;
}

interface Guide {
  by: "square" | "axis";
  from: Point;
  way: Point;
}

/** Lines that a next corner likely lies on: through the last corner, and through the first. */
function guides(drawn: readonly Point[], beside: readonly Point[]): Guide[] {
  const found: Guide[] = [];
  const axes: Point[] = [[1, 0], [0, 1]];
  const through = (from: Point, side: Point | null): void => {
    for (const way of axes) {
      found.push({ by: "axis", from, way });
    }
    const slanted = side !== null && Math.min(Math.abs(side[0]), Math.abs(side[1])) > 1e-6;
    if (slanted) {
      found.push({ by: "square", from, way: [-side[1], side[0]] }, { by: "square", from, way: side });
    }
  };
  const [last, before] = [drawn[drawn.length - 1], drawn[drawn.length - 2]];
  if (last !== undefined) {
    through(last, before === undefined ? null : unit(minus(last, before)));
  }
  const [first, second] = [drawn[0], drawn[1]];
  if (first !== undefined && second !== undefined && drawn.length > 1 && first !== last) {
    through(first, unit(minus(second, first)));
  }
  for (const from of beside) {
    through(from, null);
  }
  return found;
}

const off = (at: Point, guide: Guide): number => Math.abs(cross(guide.way, minus(at, guide.from)));
const foot = (at: Point, guide: Guide): Point =>
  plus(guide.from, times(guide.way, dot(minus(at, guide.from), guide.way)));

export function snapped(at: Point, { corners, edges, drawn, beside = [], reach }: Around): Snapped {
  const near = <T>(all: readonly T[], place: (one: T) => Point): { one: T; at: Point } | null => {
    let best: { one: T; at: Point } | null = null;
    let least = reach;
    for (const one of all) {
      const there = place(one);
      const away = distance(there, at);
      if (away <= least) {
        [least, best] = [away, { one, at: there }];
      }
    }
    return best;
  };
  // The last corner itself draws nothing to it: a second touch there is a slip.
  const own = drawn.slice(0, -1);
  const corner = near([...corners, ...own], (one) => one);
  if (corner !== null) {
    return { at: corner.at, by: "corner", guides: [] };
  }
  const last = drawn[drawn.length - 1];
  const lines = guides(drawn, beside)
    .filter((guide) => off(at, guide) <= reach)
    .sort((a, b) => off(at, a) - off(at, b))
    // Where two say the same line, the first of them is enough.
    .filter((guide, place, all) => all.findIndex((other) => Math.abs(cross(other.way, guide.way)) < 1e-9 && off(other.from, guide) < 1e-9) === place);
  const shown = (guide: Guide, to: Point): Segment => [guide.from, to];
  const [one, other] = [lines[0], lines.slice(1).find((line) => lines[0] !== undefined && Math.abs(cross(line.way, lines[0].way)) > 1e-6)];
  if (one !== undefined && other !== undefined) {
    const met = meeting(one.from, one.way, other.from, other.way);
    if (met !== null && distance(met, at) <= reach * 1.5 && (last === undefined || !same(met, last))) {
      return { at: met, by: one.by === "axis" ? other.by : one.by, guides: [shown(one, met), shown(other, met)] };
    }
  }
  const edge = near(edges, (segment) => nearest(at, segment).at);
  if (edge !== null && one !== undefined) {
    const met = meeting(one.from, one.way, edge.one[0], minus(edge.one[1], edge.one[0]));
    if (met !== null && distance(met, at) <= reach * 1.5 && same(nearest(met, edge.one).at, met)) {
      return { at: met, by: "edge", guides: [shown(one, met)] };
    }
  }
  if (edge !== null) {
    return { at: edge.at, by: "edge", guides: [] };
  }
  if (one !== undefined) {
    const place = foot(at, one);
    return { at: place, by: one.by, guides: [shown(one, place)] };
  }
  return { at, by: null, guides: [] };
}
