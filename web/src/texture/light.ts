import type { Relief } from "../api/client";
import { t } from "../parts/language";

/** A lamp over a surface: where it stands and how high, in degrees. */
export interface Lamp {
  is: "left" | "above" | "right" | "below" | "high";
  /** Direction the light comes from: 0 from the right, 90 from above on the screen. */
  from: number;
  height: number;
}

/** Low lamps rake over the surface and show its tooth; the high one shows holes and colour. */
export const LAMPS: readonly Lamp[] = [
  { is: "left", from: 180, height: 12 },
  { is: "above", from: 90, height: 12 },
  { is: "right", from: 0, height: 12 },
  { is: "below", from: 270, height: 12 },
  { is: "high", from: 135, height: 60 },
];

/** What a lamp is called. */
export const lampName = (lamp: Lamp): string => t(`web-lamp-${lamp.is}`);

/** Rows of a relief. */
export const rowsOf = (surface: Relief): number =>
  surface.columns > 0 ? Math.floor(surface.heights_um.length / surface.columns) : 0;

/**
 * Brightness of each height under a lamp, 0 to 255: a matt surface that throws light back by
 * the angle to it, and no shadow. What is missing is white with a dot pattern of its own.
 */
export function lit(surface: Relief, lamp: Lamp): Uint8ClampedArray {
  const { columns, heights_um: heights } = surface;
  const rows = rowsOf(surface);
  const [dx, dy] = [(surface.spacing_mm[0] ?? 1) * 1000, (surface.spacing_mm[1] ?? 1) * 1000];
  const turn = Math.PI / 180;
  const light = [
    Math.cos(lamp.from * turn) * Math.cos(lamp.height * turn),
    -Math.sin(lamp.from * turn) * Math.cos(lamp.height * turn),
    Math.sin(lamp.height * turn),
  ] as const;
  const out = new Uint8ClampedArray(rows * columns);
  const at = (r: number, c: number): number | null =>
    heights[Math.min(Math.max(r, 0), rows - 1) * columns + Math.min(Math.max(c, 0), columns - 1)] ??
    null;
  for (let r = 0; r < rows; r += 1) {
    for (let c = 0; c < columns; c += 1) {
      if (at(r, c) === null) {
        out[r * columns + c] = (r + c) % 4 === 0 ? 0 : 255;
        continue;
      }
      const slope = (a: number | null, b: number | null, step: number): number =>
        a === null || b === null ? 0 : (b - a) / (2 * step);
      const x = slope(at(r, c - 1), at(r, c + 1), dx);
      const y = slope(at(r - 1, c), at(r + 1, c), dy);
      const cosine = (-x * light[0] - y * light[1] + light[2]) / Math.hypot(x, y, 1);
      // A flat surface is a middle grey under every lamp.
      out[r * columns + c] = 128 * Math.max(0, cosine / light[2]);
    }
  }
  return out;
}
