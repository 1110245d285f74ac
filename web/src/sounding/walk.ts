/** The grid that a person walks while tapping, and the list of taps that goes with a recording. */

import { type Point, holds } from "../draw/shapes";

/** Where the walk begins, as one looks at the plan. */
export type Start = "near-left" | "near-right" | "far-left" | "far-right";

export interface Grid {
  start: Start;
  /** Whether rows run along x (else along y). */
  along: boolean;
  /** Distance between taps and between rows, in the plan's unit. */
  pitch: number;
  /** Whether every second row is walked the other way. */
  turning: boolean;
}

/** The places of a grid inside an outline, half a pitch from its box, in the order of the walk. */
export function places(outline: readonly Point[], around: readonly (readonly Point[])[], grid: Grid): Point[] {
  const [xs, ys] = [outline.map(([x]) => x), outline.map(([, y]) => y)];
  const line = (all: number[], back: boolean): number[] => {
    const [low, high] = [Math.min(...all), Math.max(...all)];
    const count = Math.max(1, Math.floor((high - low) / grid.pitch + 1e-9));
    const first = (low + high - (count - 1) * grid.pitch) / 2;
    const steps = Array.from({ length: count }, (_, step) => round(first + step * grid.pitch));
    return back ? steps.reverse() : steps;
  };
  const columns = line(xs, grid.start.endsWith("right"));
  const rows = line(ys, grid.start.startsWith("far"));
  const [outer, inner] = grid.along ? [rows, columns] : [columns, rows];
  const inside = (at: Point) => holds(outline, at) && !around.some((hole) => holds(hole, at));
  return outer.flatMap((fixed, number) => {
    const run = grid.turning && number % 2 === 1 ? [...inner].reverse() : inner;
    return run.map((moving): Point => (grid.along ? [moving, fixed] : [fixed, moving])).filter(inside);
  });
}

const round = (value: number): number => Math.round(value * 1e4) / 1e4;

export type Known = "sound" | "hollow" | null;

export interface Tap {
  /** Which place of the grid. */
  place: number;
  /** Seconds from the beginning of the recording. */
  time: number;
  known: Known;
}

/** The list of taps, as the program reads it beside the recording. */
export function listOf(taps: readonly Tap[], grid: readonly Point[], unit: "ft" | "m"): string {
  const rows = taps.map(({ place, time, known }, number) => {
    const [x, y] = grid[place] ?? [0, 0];
    return [number, x, y, known ?? "", time.toFixed(3)].join(",");
  });
  return [`tap,x_${unit},y_${unit},known,time_s`, ...rows, ""].join("\n");
}

/** A list with one tap told anew by ear; null where the list has no such tap. */
export function told(list: string, number: number, known: Known): string | null {
  const lines = list.trimEnd().split(/\r?\n/);
  const heading = lines[0]?.split(",") ?? [];
  const [tap, ear] = [heading.indexOf("tap"), heading.indexOf("known")];
  let found = false;
  const rows = lines.slice(1).map((line) => {
    const cells = line.split(",");
    if (cells[tap]?.trim() === String(number)) {
      found = true;
      while (cells.length <= ear) {
        cells.push("");
      }
      if (ear >= 0) {
        cells[ear] = known ?? "";
      } else {
        cells.push(known ?? "");
      }
    } else if (ear < 0) {
      cells.push("");
    }
    return cells.join(",");
  });
  const head = ear < 0 ? [...heading, "known"] : heading;
  return found ? [head.join(","), ...rows, ""].join("\n") : null;
}
