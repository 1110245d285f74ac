/**
 * How each kind of thing on the plan is drawn. Shape and hatching tell them apart, not
 * colour: the plan must read in sun, in grey print and to any eye.
 */

import { t } from "../parts/language";

export type Hatch = "none" | "lines" | "cross" | "dots" | "back" | "waves" | "dense";
export type Symbol = "circle" | "square" | "triangle" | "cross" | "diamond" | "plus";

export interface Kind {
  /** Width of its line, in pixels. */
  width: number;
  dash: number[];
  hatch: Hatch;
  /** For a place without extent. */
  symbol: Symbol;
  full: boolean;
}

const kind = (
  width: number,
  dash: number[],
  hatch: Hatch,
  symbol: Symbol,
  full = false,
): Kind => ({ width, dash, hatch, symbol, full });

export const KINDS: Record<string, Kind> = {
  area: kind(3, [], "none", "square"),
  wall: kind(7, [], "none", "square", true),
  obstacle: kind(1.5, [], "dense", "square", true),
  joint: kind(2, [12, 4, 2, 4], "none", "plus"),
  crack: kind(3, [3, 3], "none", "cross"),
  pattern_cracking: kind(1.5, [2, 3], "cross", "cross"),
  settlement: kind(2, [14, 6], "waves", "triangle"),
  spall: kind(2.5, [], "cross", "triangle"),
  hollow: kind(2.5, [6, 4], "lines", "circle"),
  sounded: kind(1.5, [1, 5], "none", "circle"),
  film: kind(1.5, [8, 4], "dots", "circle"),
  stain: kind(1.5, [4, 4], "waves", "circle", true),
  surface: kind(1.5, [2, 5], "back", "square"),
  low_spot: kind(2, [10, 3], "waves", "triangle"),
  ghost: kind(1.5, [1, 4], "back", "plus"),
  small_damage: kind(1.5, [1, 3], "dots", "plus"),
  embedded: kind(3, [10, 6, 2, 6], "none", "diamond", true),
  sample_panel: kind(3.5, [], "dots", "square"),
  photo: kind(2, [], "none", "square", true),
  reading: kind(2, [], "none", "diamond"),
};

/** What a kind is called in the legend. */
export function wordsOf(word: string): string {
  return KINDS[word] === undefined
    ? word.replaceAll("_", " ")
    : t(`web-kind-${word.replaceAll("_", "-")}`);
}

export function kindOf(word: string): Kind {
  return KINDS[word] ?? kind(2, [], "none", "square");
}
