/** What kinds and quick reasons are called. */

import { t } from "../parts/language";
import { wordsOf } from "../plan/kinds";

const KINDS: Record<string, string> = {
  zone: "web-draw-area",
  wall: "web-draw-wall",
  obstacle: "web-draw-obstacle",
  joint: "web-draw-joint",
  crack: "web-draw-crack",
  pattern_cracking: "web-draw-pattern-cracking",
  spall: "web-draw-spall",
  hollow: "web-draw-hollow",
  film: "web-draw-film",
  stain: "web-draw-stain",
  surface: "web-draw-surface",
  low_spot: "web-draw-low-spot",
  settlement: "web-draw-settlement",
  ghost: "web-draw-ghost",
  small_damage: "web-draw-small-damage",
  embedded: "web-draw-embedded",
  sounded: "web-draw-sounded",
  sample_panel: "web-draw-sample-panel",
  photo: "web-draw-photo",
};

/** What a kind is called on its button. */
export function kindWord(kind: string): string {
  const name = KINDS[kind];
  return name === undefined ? wordsOf(kind) : t(name);
}

/** Reasons for which a mark goes, in the order in which they happen. */
export const REASONS: readonly string[] = [
  "web-draw-why-slip",
  "web-draw-why-not-there",
  "web-draw-why-mended",
  "web-draw-why-anew",
];
