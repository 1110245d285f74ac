/**
 * How each kind of thing on the plan is drawn. Shape and hatching tell them apart, not
 * colour: the plan must read in sun, in grey print and to any eye.
 */

export type Hatch = "none" | "lines" | "cross" | "dots" | "back" | "waves" | "dense";
export type Symbol = "circle" | "square" | "triangle" | "cross" | "diamond" | "plus";

export interface Kind {
  words: string;
  /** Width of its line, in pixels. */
  width: number;
  dash: number[];
  hatch: Hatch;
  /** For a place without extent. */
  symbol: Symbol;
  full: boolean;
}

const kind = (
  words: string,
  width: number,
  dash: number[],
  hatch: Hatch,
  symbol: Symbol,
  full = false,
): Kind => ({ words, width, dash, hatch, symbol, full });

export const KINDS: Record<string, Kind> = {
  area: kind("area, with its letter", 3, [], "none", "square"),
  wall: kind("wall", 7, [], "none", "square", true),
  obstacle: kind("obstacle, not prepared", 1.5, [], "dense", "square", true),
  joint: kind("joint", 2, [12, 4, 2, 4], "none", "plus"),
  crack: kind("crack", 3, [3, 3], "none", "cross"),
  pattern_cracking: kind("pattern cracking", 1.5, [2, 3], "cross", "cross"),
  settlement: kind("settlement", 2, [14, 6], "waves", "triangle"),
  spall: kind("spall", 2.5, [], "cross", "triangle"),
  hollow: kind("hollow", 2.5, [6, 4], "lines", "circle"),
  sounded: kind("sounded", 1.5, [1, 5], "none", "circle"),
  film: kind("film", 1.5, [8, 4], "dots", "circle"),
  stain: kind("stain", 1.5, [4, 4], "waves", "circle", true),
  surface: kind("surface", 1.5, [2, 5], "back", "square"),
  low_spot: kind("low spot", 2, [10, 3], "waves", "triangle"),
  ghost: kind("ghost of something gone", 1.5, [1, 4], "back", "plus"),
  embedded: kind("in the slab", 3, [10, 6, 2, 6], "none", "diamond", true),
  sample_panel: kind("sample panel", 3.5, [], "dots", "square"),
  photo: kind("photograph", 2, [], "none", "square", true),
  reading: kind("reading", 2, [], "none", "diamond"),
};

export function kindOf(word: string): Kind {
  return KINDS[word] ?? kind(word.replaceAll("_", " "), 2, [], "none", "square");
}
