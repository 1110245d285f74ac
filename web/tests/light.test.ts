import { expect, test } from "vitest";

import { LAMPS, lit, rowsOf } from "../src/texture/light";

const surface = (columns: number, heights: (number | null)[]) => ({
  columns,
  spacing_mm: [1, 1],
  width: "3 mm",
  heights_um: heights,
});

test("a flat surface is a middle grey under every lamp", () => {
  for (const lamp of LAMPS) {
    expect([...lit(surface(3, Array(9).fill(0)), lamp)]).toEqual(Array(9).fill(128));
  }
});

test("a slope is bright towards the lamp and dark away from it", () => {
  const left = LAMPS.find((lamp) => lamp.is === "left");
  const right = LAMPS.find((lamp) => lamp.is === "right");
  // Rises to the right by a tenth: its face looks to the left.
  const slope = surface(3, [0, 100, 200, 0, 100, 200, 0, 100, 200]);
  if (left === undefined || right === undefined) {
    throw new Error("a lamp is missing");
  }
  // Closed form: 128 (cos 6.289° … ): 128 (0.1 cot 12° + 1)/√1.01 = 187.3, and 67.4.
  expect(lit(slope, left)[4]).toBeCloseTo(187, -0.5);
  expect(lit(slope, right)[4]).toBeCloseTo(67, -0.5);
});

test("what is missing has a pattern of its own, and rows are counted by columns", () => {
  const holed = surface(4, [null, null, null, null, 0, 0, 0, 0]);
  const lamp = LAMPS[0];
  if (lamp === undefined) {
    throw new Error("a lamp is missing");
  }
  expect(rowsOf(holed)).toBe(2);
  expect([...lit(holed, lamp)].slice(0, 4)).toEqual([0, 255, 255, 255]);
});
