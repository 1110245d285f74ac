import { expect, test } from "vitest";

import type { Tap } from "../src/api/client";
import { leftmost, nearest, outlinePath, planOf, stripPath } from "../src/sounding/draw";

const tap = (x_m: number | null, y_m: number | null): Tap => ({
  number: 0,
  time_s: null,
  x_m,
  y_m,
  class: "sound",
  words: "",
  known: null,
});

test("the view holds every tap with a step around", () => {
  expect(planOf([tap(1, 2), tap(1.5, 2), tap(2, 2), tap(2, 2.5)])).toEqual({
    box: "0.5000 -3.0000 2.0000 1.5000",
    pitch: 0.5,
  });
  expect(planOf([tap(null, null)])).toBeNull();
  expect(planOf([tap(1, 1)])?.pitch).toBe(0.3);
});

test("an outline is closed, with y up", () => {
  expect(outlinePath([[0, 0], [1, 0], [1, 2]])).toBe("M0.000 0.000L1.000 0.000L1.000 -2.000Z");
  expect(outlinePath([])).toBe("");
});

test("the strip goes to its edges at the loudest sample, in no more columns than it is wide", () => {
  const path = stripPath(Array.from({ length: 5000 }, (_, n) => [-0.1, n === 2500 ? 0.2 : 0.1]), 100, 50);
  expect(path.split("L").length).toBe(200);
  expect(path).toContain(" 0.5");
  expect(stripPath([], 100, 50)).toBe("");
});

test("the nearest tap is chosen, the first of equals", () => {
  const taps = [tap(0, 0), tap(1, 0), tap(3, 0)];
  expect(nearest(taps, (one) => Math.abs((one.x_m ?? 0) - 2.4))).toBe(2);
  expect(nearest(taps, () => 1)).toBe(0);
  expect(leftmost([[3, 1], [1, 2], [2, 0]])).toEqual([1, 2]);
});
