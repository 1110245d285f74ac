/** Plane geometry of marks, y upwards. No drawing, no units: numbers are the plan's own. */

export type Point = [number, number];
export type Segment = [Point, Point];

/** What lies nearer than this is the same place: a tenth of a millimetre, in metres or feet. */
export const SAME = 1e-4;

export const minus = (a: Point, b: Point): Point => [a[0] - b[0], a[1] - b[1]];
export const plus = (a: Point, b: Point): Point => [a[0] + b[0], a[1] + b[1]];
export const times = (a: Point, by: number): Point => [a[0] * by, a[1] * by];
export const cross = (a: Point, b: Point): number => a[0] * b[1] - a[1] * b[0];
export const dot = (a: Point, b: Point): number => a[0] * b[0] + a[1] * b[1];
export const distance = (a: Point, b: Point): number => Math.hypot(a[0] - b[0], a[1] - b[1]);
export const same = (a: Point, b: Point, within = SAME): boolean => distance(a, b) <= within;
export const middle = (a: Point, b: Point): Point => [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];

/** A direction of length one; `null` of a place. */
export function unit(a: Point): Point | null {
  const length = Math.hypot(a[0], a[1]);
  return length === 0 ? null : [a[0] / length, a[1] / length];
}

/** Sides of a line, or of a ring whose first corner is not repeated. */
export function sides(points: readonly Point[], closed: boolean): Segment[] {
  const found: Segment[] = [];
  const count = closed ? points.length : points.length - 1;
  for (let at = 0; at < count; at += 1) {
    const [a, b] = [points[at], points[(at + 1) % points.length]];
    if (a !== undefined && b !== undefined) {
      found.push([a, b]);
    }
  }
  return found;
}

export function lengthOf(points: readonly Point[], closed = false): number {
  return sides(points, closed).reduce((sum, [a, b]) => sum + distance(a, b), 0);
}

/** Twice the sign of turning: more than zero where the ring runs against the clock. */
export function signedArea(ring: readonly Point[]): number {
  return sides(ring, true).reduce((sum, [a, b]) => sum + cross(a, b), 0) / 2;
}

export const areaOf = (ring: readonly Point[]): number => Math.abs(signedArea(ring));

/** The ring against the clock. */
export function turned(ring: readonly Point[]): Point[] {
  return signedArea(ring) < 0 ? [...ring].reverse() : [...ring];
}

export function centre(ring: readonly Point[]): Point {
  const area = signedArea(ring);
  if (Math.abs(area) < SAME * SAME) {
    const sum = ring.reduce<Point>((total, point) => plus(total, point), [0, 0]);
    return times(sum, 1 / Math.max(ring.length, 1));
  }
  const sum = sides(ring, true).reduce<Point>(
    (total, [a, b]) => plus(total, times(plus(a, b), cross(a, b))),
    [0, 0],
  );
  return times(sum, 1 / (6 * area));
}

/** The place of a segment that is nearest, and how far along it lies (0 to 1). */
export function nearest(at: Point, [a, b]: Segment): { at: Point; along: number } {
  const way = minus(b, a);
  const squared = dot(way, way);
  const along = squared === 0 ? 0 : Math.min(1, Math.max(0, dot(minus(at, a), way) / squared));
  return { at: plus(a, times(way, along)), along };
}

/** Where two endless lines meet, given by a place and a direction each. */
export function meeting(a: Point, along: Point, b: Point, beside: Point): Point | null {
  const turn = cross(along, beside);
  if (Math.abs(turn) < 1e-9 * Math.hypot(...along) * Math.hypot(...beside)) {
    return null;
  }
  return plus(a, times(along, cross(minus(b, a), beside) / turn));
}

/** Whether a place lies inside a ring, or on it. */
export function holds(ring: readonly Point[], at: Point): boolean {
  let inside = false;
  for (const [a, b] of sides(ring, true)) {
    if (same(nearest(at, [a, b]).at, at)) {
      return true;
    }
    if (a[1] > at[1] !== b[1] > at[1] && at[0] < ((b[0] - a[0]) * (at[1] - a[1])) / (b[1] - a[1]) + a[0]) {
      inside = !inside;
    }
  }
  return inside;
}

/** Where a ring crosses or touches itself; `null` where it does not. */
export function selfCrossing(ring: readonly Point[]): Point | null {
  const all = sides(ring, true);
  for (let one = 0; one < all.length; one += 1) {
    for (let other = one + 1; other < all.length; other += 1) {
      const [s, r] = [all[one], all[other]];
      if (s === undefined || r === undefined) {
        continue;
      }
      const neighbours = other === one + 1 || (one === 0 && other === all.length - 1);
      if (neighbours) {
        // Sides that share a corner may not run back over each other.
        const [corner, far, back] = other === one + 1 ? [s[1], r[1], s[0]] : [s[0], r[0], s[1]];
        const [out, home] = [minus(far, corner), minus(back, corner)];
        if (all.length > 2 && Math.abs(cross(out, home)) < 1e-12 && dot(out, home) > 0) {
          return corner;
        }
        continue;
      }
      const met = touching(s, r);
      if (met !== null) {
        return met;
      }
    }
  }
  return null;
}

/** A ring drawn in one stroke whose ends overshot: of the loops at a crossing the largest stays. */
export function untangled(ring: readonly Point[]): Point[] {
  let corners = tidy(ring, true);
  for (let tries = 0; tries < 20; tries += 1) {
    const loops = loopsAtCrossing(corners);
    if (loops === null) {
      return corners;
    }
    corners = areaOf(loops[0]) >= areaOf(loops[1]) ? loops[0] : loops[1];
  }
  return corners;
}

function loopsAtCrossing(ring: readonly Point[]): [Point[], Point[]] | null {
  const all = sides(ring, true);
  for (let one = 0; one < all.length; one += 1) {
    for (let other = one + 2; other < all.length; other += 1) {
      const [s, r] = [all[one] as Segment, all[other] as Segment];
      const met = one === 0 && other === all.length - 1 ? null : touching(s, r);
      if (met !== null) {
        const inner = [met, ...ring.slice(one + 1, other + 1)];
        const outer = [met, ...ring.slice(other + 1), ...ring.slice(0, one + 1)];
        return [tidy(inner, true), tidy(outer, true)];
      }
    }
  }
  return null;
}

function touching(s: Segment, r: Segment): Point | null {
  const met = meeting(s[0], minus(s[1], s[0]), r[0], minus(r[1], r[0]));
  if (met !== null) {
    const on = (segment: Segment) => same(nearest(met, segment).at, met, 1e-9);
    return on(s) && on(r) ? met : null;
  }
  const ends: [Point, Segment][] = [[s[0], r], [s[1], r], [r[0], s], [r[1], s]];
  const end = ends.find(([point, segment]) => same(nearest(point, segment).at, point, 1e-9));
  return end === undefined ? null : end[0];
}

/** Why corners are no outline; `null` where they are one. */
export type OutlineFault = { is: "few" } | { is: "flat" } | { is: "crossing"; at: Point };

export function outlineFault(ring: readonly Point[]): OutlineFault | null {
  if (tidy(ring, true).length < 3) {
    return { is: "few" };
  }
  const at = selfCrossing(tidy(ring, true));
  if (at !== null) {
    return { is: "crossing", at };
  }
  return areaOf(ring) < 1e-5 ? { is: "flat" } : null;
}

/** Without corners that repeat the one before. */
export function tidy(points: readonly Point[], closed: boolean): Point[] {
  const found = points.filter((point, at) => {
    const before = points[at - 1];
    return before === undefined || !same(point, before);
  });
  while (closed && found.length > 1 && same(found[0] as Point, found[found.length - 1] as Point)) {
    found.pop();
  }
  return found;
}

/** Without corners on a straight side. */
export function straightened(ring: readonly Point[]): Point[] {
  return ring.filter((point, at) => {
    const [before, after] = [ring[(at + ring.length - 1) % ring.length], ring[(at + 1) % ring.length]];
    if (before === undefined || after === undefined) {
      return true;
    }
    const base = distance(before, after);
    return base <= SAME || Math.abs(cross(minus(after, before), minus(point, before))) / base > SAME;
  });
}

/** The fewest points that keep a hand-drawn line within a distance. */
export function simplified(points: readonly Point[], within: number): Point[] {
  if (points.length < 3) {
    return [...points];
  }
  const keep = new Uint8Array(points.length);
  keep[0] = keep[points.length - 1] = 1;
  const open: [number, number][] = [[0, points.length - 1]];
  for (let part = open.pop(); part !== undefined; part = open.pop()) {
    const [from, to] = part;
    let [worst, at] = [within, -1];
    for (let one = from + 1; one < to; one += 1) {
      const point = points[one] as Point;
      const off = distance(point, nearest(point, [points[from] as Point, points[to] as Point]).at);
      if (off > worst) {
        [worst, at] = [off, one];
      }
    }
    if (at > 0) {
      keep[at] = 1;
      open.push([from, at], [at, to]);
    }
  }
  return points.filter((_, at) => keep[at] === 1);
}

export function rectangle(at: Point, width: number, depth: number): Point[] {
  return [at, [at[0] + width, at[1]], [at[0] + width, at[1] + depth], [at[0], at[1] + depth]];
}

export const box = (one: Point, other: Point): Point[] =>
  rectangle([Math.min(one[0], other[0]), Math.min(one[1], other[1])], Math.abs(one[0] - other[0]), Math.abs(one[1] - other[1]));

export type Corner = "far-right" | "far-left" | "near-right" | "near-left";

/** An L: a rectangle of which one corner is missing. */
export function ell(at: Point, width: number, depth: number, lackWidth: number, lackDepth: number, lacks: Corner): Point[] | null {
  if (lackWidth >= width || lackDepth >= depth) {
    return null;
  }
  const base: Point[] = [
    [0, 0],
    [width, 0],
    [width, depth - lackDepth],
    [width - lackWidth, depth - lackDepth],
    [width - lackWidth, depth],
    [0, depth],
  ];
  const [left, near] = [lacks.endsWith("left"), lacks.startsWith("near")];
  const placed = base.map(([x, y]): Point => plus(at, [left ? width - x : x, near ? depth - y : y]));
  return turned(placed);
}

export interface Side {
  length: number;
  /** Degrees that one turns after it; to the left is more than zero. */
  turn: number;
}

export interface Walk {
  corners: Point[];
  /** From where the last side ends to where the first began. */
  gap: Point;
}

/** A ring from sides and turns, begun in a direction (degrees against the clock from x). */
export function walked(start: Point, heading: number, all: readonly Side[]): Walk {
  let [at, way] = [start, heading];
  const corners: Point[] = [start];
  for (const side of all) {
    const angle = (way * Math.PI) / 180;
    at = plus(at, [side.length * Math.cos(angle), side.length * Math.sin(angle)]);
    corners.push(at);
    way += side.turn;
  }
  corners.pop();
  return { corners, gap: minus(start, at) };
}

/** The ring closed: what is missing is spread over the corners by the way walked to them. */
export function closedWalk({ corners, gap }: Walk): Point[] {
  const start = corners[0];
  if (start === undefined) {
    return [];
  }
  const end = minus(start, gap);
  const all = sides([...corners, end], false).map(([a, b]) => distance(a, b));
  const total = all.reduce((sum, side) => sum + side, 0);
  let gone = 0;
  return corners.map((corner, at) => {
    const placed = total === 0 ? corner : plus(corner, times(gap, gone / total));
    gone += all[at] ?? 0;
    return placed;
  });
}

/** Two parts of a ring cut by the line through two places; `null` where it does not cut through. */
export function split(ring: readonly Point[], from: Point, to: Point): [Point[], Point[]] | null {
  const way = unit(minus(to, from));
  if (way === null) {
    return null;
  }
  const corners = turned(tidy(ring, true));
  // Corners on the line count as lying to its left, so that a cut from corner to corner is one.
  const off = corners.map((corner) => {
    const side = cross(way, minus(corner, from));
    return Math.abs(side) <= SAME ? 0 : side;
  });
  interface Cut { at: Point; along: number; after: number }
  const cuts: Cut[] = [];
  corners.forEach((corner, at) => {
    const next = (at + 1) % corners.length;
    const [here, there] = [off[at] ?? 0, off[next] ?? 0];
    if (here >= 0 === there >= 0) {
      return;
    }
    const place = plus(corner, times(minus(corners[next] as Point, corner), here / (here - there)));
    cuts.push({ at: place, along: dot(minus(place, from), way), after: at });
  });
  cuts.sort((a, b) => a.along - b.along);
  const mid = dot(minus(middle(from, to), from), way);
  const pairs: [Cut, Cut][] = [];
  for (let at = 0; at + 1 < cuts.length; at += 2) {
    pairs.push([cuts[at] as Cut, cuts[at + 1] as Cut]);
  }
  const away = ([a, b]: [Cut, Cut]) => Math.max(a.along - mid, mid - b.along, 0);
  const pair = pairs.sort((a, b) => away(a) - away(b))[0];
  if (pair === undefined) {
    return null;
  }
  const between = (one: Cut, other: Cut): Point[] => {
    const part: Point[] = [one.at];
    for (let at = (one.after + 1) % corners.length; ; at = (at + 1) % corners.length) {
      part.push(corners[at] as Point);
      if (at === other.after) {
        break;
      }
    }
    part.push(other.at);
    return straightened(tidy(part, true));
  };
  const parts: [Point[], Point[]] = [between(pair[0], pair[1]), between(pair[1], pair[0])];
  return parts.every((part) => outlineFault(part) === null) ? parts : null;
}

/** Sides cut wherever a corner of any ring lies on them. */
export function cutAtCorners(all: readonly Segment[], corners: readonly Point[]): Segment[] {
  return all.flatMap(([a, b]) => {
    const length = distance(a, b);
    const on = corners
      .map((corner) => ({ corner, ...nearest(corner, [a, b]) }))
      .filter(({ corner, at }) => same(corner, at))
      .map(({ along }) => along)
      .filter((along) => along * length > SAME && (1 - along) * length > SAME)
      .sort((one, other) => one - other);
    const places = [a, ...on.map((along) => plus(a, times(minus(b, a), along))), b];
    return sides(tidy(places, false), false);
  });
}

/** One ring of two that share a side; `null` where they do not, or where a hole would be left. */
export function joined(one: readonly Point[], other: readonly Point[]): Point[] | null {
  const [a, b] = [turned(tidy(one, true)), turned(tidy(other, true))];
  const corners = [...a, ...b];
  const [left, right] = [cutAtCorners(sides(a, true), corners), cutAtCorners(sides(b, true), corners)];
  const opposite = (s: Segment, r: Segment) => same(s[0], r[1]) && same(s[1], r[0]);
  const keep = [
    ...left.filter((s) => !right.some((r) => opposite(s, r))),
    ...right.filter((s) => !left.some((r) => opposite(s, r))),
  ];
  if (keep.length === left.length + right.length) {
    return null;
  }
  const ring: Point[] = [];
  let next = keep.shift();
  while (next !== undefined) {
    const [from, to] = next;
    ring.push(from);
    const at = keep.findIndex((segment) => same(segment[0], to));
    next = at < 0 ? undefined : keep.splice(at, 1)[0];
  }
  const found = straightened(tidy(ring, true));
  const whole = Math.abs(areaOf(found) - areaOf(a) - areaOf(b)) <= 1e-6 * (areaOf(a) + areaOf(b)) + SAME;
  return keep.length === 0 && outlineFault(found) === null && whole ? found : null;
}

/** Parts of a segment inside a ring, those along its border left out. */
export function clipped([a, b]: Segment, ring: readonly Point[]): Segment[] {
  const way = minus(b, a);
  const length = distance(a, b);
  if (length <= SAME) {
    return [];
  }
  const cuts = [0, 1];
  for (const [c, d] of sides(ring, true)) {
    const met = meeting(a, way, c, minus(d, c));
    for (const place of met === null ? [c, d] : [met]) {
      const near = met === null ? Math.abs(cross(way, minus(place, a))) / length <= SAME : same(nearest(place, [c, d]).at, place);
      const along = dot(minus(place, a), way) / (length * length);
      if (near && along > 0 && along < 1) {
        cuts.push(along);
      }
    }
  }
  cuts.sort((one, other) => one - other);
  const found: Segment[] = [];
  for (let at = 0; at + 1 < cuts.length; at += 1) {
    const [from, to] = [cuts[at] ?? 0, cuts[at + 1] ?? 0];
    const mid = plus(a, times(way, (from + to) / 2));
    const onBorder = sides(ring, true).some((side) => same(nearest(mid, side).at, mid));
    if ((to - from) * length <= SAME || onBorder || !holds(ring, mid)) {
      continue;
    }
    const [start, end] = [plus(a, times(way, from)), plus(a, times(way, to))];
    const last = found[found.length - 1];
    if (last !== undefined && same(last[1], start)) {
      last[1] = end;
    } else {
      found.push([start, end]);
    }
  }
  return found;
}
