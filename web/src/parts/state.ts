import type { FindingState } from "../api/client";

/** Signs that stand before a finding: they read without colour and in any order. */
export const SIGNS: Record<FindingState, string> = {
  fine: "✓",
  prepare: "→",
  hold: "‖",
  decide: "?",
  repair: "△",
  engineer: "◆",
  not_a_candidate: "✕",
};
