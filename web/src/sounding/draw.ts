/** From places and samples to drawings. The plan's y goes up, a drawing's down. */

import type { Tap } from "../api/client";

export interface TapPlan {
  /** The drawing's view: left, top, width, height in metres. */
  box: string;
  /** Usual distance between taps that follow each other. */
  pitch: number;
}

/** None where no tap has a place. */
export function planOf(taps: Tap[]): TapPlan | null {
  const places = taps.flatMap((tap) =>
    tap.x_m === null || tap.y_m === null ? [] : [{ x: tap.x_m, y: tap.y_m }],
  );
  const [first] = places;
  if (first === undefined) {
    return null;
  }
  const steps = places
    .slice(1)
    .map((place, n) => {
      const before = places[n] ?? first;
      return Math.hypot(place.x - before.x, place.y - before.y);
    })
    .filter((step) => step > 0)
    .sort((a, b) => a - b);
  const pitch = steps[Math.floor(steps.length / 2)] ?? 0.3;
  const xs = places.map((place) => place.x);
  const ys = places.map((place) => place.y);
  const least = (values: number[]) => values.reduce((a, b) => Math.min(a, b));
  const most = (values: number[]) => values.reduce((a, b) => Math.max(a, b));
  const [left, right, low, high] = [least(xs), most(xs), least(ys), most(ys)];
  const numbers = [left - pitch, -high - pitch, right - left + 2 * pitch, high - low + 2 * pitch];
  return { box: numbers.map((number) => number.toFixed(4)).join(" "), pitch };
}

export function outlinePath(corners: number[][]): string {
  const points = corners.map(([x = 0, y = 0]) => `${x.toFixed(3)} ${(-y).toFixed(3)}`);
  return points.length === 0 ? "" : `M${points.join("L")}Z`;
}

/** Extremes of the samples as one closed line, in at most so many columns as it is wide. */
export function stripPath(strip: number[][], width: number, height: number): string {
  const columns = Math.min(strip.length, width);
  if (columns === 0) {
    return "";
  }
  const loudest = strip.reduce((most, [low = 0, high = 0]) => Math.max(most, -low, high), 1e-6);
  const upper: string[] = [];
  const lower: string[] = [];
  for (let column = 0; column < columns; column += 1) {
    const from = Math.floor((column * strip.length) / columns);
    const to = Math.max(from + 1, Math.floor(((column + 1) * strip.length) / columns));
    const part = strip.slice(from, to);
    const low = part.reduce((least, [value = 0]) => Math.min(least, value), 0);
    const high = part.reduce((most, [, value = 0]) => Math.max(most, value), 0);
    const x = ((column + 0.5) * width) / columns;
    const y = (value: number) => (height / 2) * (1 - (0.98 * value) / loudest);
    upper.push(`${x.toFixed(1)} ${y(high).toFixed(1)}`);
    lower.unshift(`${x.toFixed(1)} ${y(low).toFixed(1)}`);
  }
  return `M${[...upper, ...lower].join("L")}Z`;
}

/** The one that is least far. */
export function nearest(taps: Tap[], far: (tap: Tap) => number): number {
  let best = 0;
  let least = Infinity;
  for (const [number, tap] of taps.entries()) {
    const here = far(tap);
    if (here < least) {
      [best, least] = [number, here];
    }
  }
  return best;
}

/** The corner furthest left, where a name stands beside. */
export function leftmost(corners: number[][]): [number, number] {
  const [x = 0, y = 0] = corners.reduce<number[]>(
    (best, corner) => ((corner[0] ?? 0) < (best[0] ?? Infinity) ? corner : best),
    [],
  );
  return [x, y];
}
