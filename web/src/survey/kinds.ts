/** Kinds of field tests as a person looks for them, and what a figure usually is. */

import { numberOf, type UnitAsked } from "../forms/fields";

export interface Group {
  is: string;
  kinds: readonly string[];
}

/** In the order of a survey. A kind that is not named here stands in the last group. */
export const GROUPS: readonly Group[] = [
  { is: "surface", kinds: ["water_drop", "acid_drop", "stain_drop", "film_thickness", "solvent_rub", "knife", "oil_bleed_back", "dark_cloth"] },
  { is: "profile", kinds: ["chip_rating", "replica_putty", "profile_probe", "sand_patch"] },
  { is: "strength", kinds: ["pull_off", "scratch_hardness", "carbonation", "repair_sounding"] },
  { is: "moisture", kinds: ["in_slab_humidity", "moisture_emission", "plastic_sheet", "surface_ph"] },
  { is: "climate", kinds: ["air_temperature", "air_humidity", "surface_temperature"] },
  { is: "cracks", kinds: ["crack_gauge", "straightedge_depth", "elevation"] },
  { is: "laboratory", kinds: ["laboratory", "chloride", "production_rate"] },
];

/** What is asked again outside of: unit, least, greatest. The program asks beyond the same. */
const USUAL: Record<string, readonly [string, number, number]> = {
  water_drop: ["s", 0, 7200],
  pull_off: ["psi", 7, 1200],
  in_slab_humidity: ["%", 30, 100],
  moisture_emission: ["lb/1000ft2/24h", 0.2, 25],
  surface_ph: ["pH", 3, 13.5],
  sand_patch: ["mm", 50, 600],
  replica_putty: ["mm", 0.005, 12],
  profile_probe: ["mm", 0.005, 12],
  air_temperature: ["C", -30, 50],
  surface_temperature: ["C", -30, 70],
  air_humidity: ["%", 5, 100],
  crack_gauge: ["mm", 0, 50],
  film_thickness: ["mil", 0.2, 500],
  carbonation: ["mm", 0, 100],
  chloride: ["%", 0, 5],
  straightedge_depth: ["mm", 0, 150],
  elevation: ["m", -20, 20],
  production_rate: ["ft2/h", 3, 20_000],
};

/** Units as they are usually read where feet, and where metres are. */
const READ_IN: Record<"ft" | "m", readonly string[]> = {
  ft: ["s", "psi", "%", "lb/1000ft2/24h", "pH", "F", "mil", "in", "ft2/h"],
  m: ["s", "MPa", "%", "g/m2/24h", "pH", "C", "mm", "m2/h"],
};
/** Where the usual unit of a length is another. */
const OWN_UNIT: Record<string, Record<"ft" | "m", string>> = {
  crack_gauge: { ft: "in", m: "mm" },
  straightedge_depth: { ft: "in", m: "mm" },
  carbonation: { ft: "in", m: "mm" },
  sand_patch: { ft: "in", m: "mm" },
  elevation: { ft: "in", m: "mm" },
  film_thickness: { ft: "mil", m: "um" },
};

/** The unit with which a person begins. */
export function firstUnit(kind: string, units: readonly UnitAsked[], plan: "ft" | "m"): string {
  const signs = units.map((unit) => unit.sign);
  const wanted = [OWN_UNIT[kind]?.[plan], ...READ_IN[plan]];
  return wanted.find((sign) => sign !== undefined && signs.includes(sign)) ?? signs[0] ?? "";
}

/** The same figure in another unit: the ends of the range say how they go together. */
export function inUnit(value: number, from: UnitAsked, to: UnitAsked): number {
  return to.low + ((value - from.low) / (from.high - from.low)) * (to.high - to.low);
}

/** Least and greatest of what is usual, in this unit, where the figure lies outside. */
export function unusual(kind: string, text: string, sign: string, units: readonly UnitAsked[]): [number, number] | null {
  const usual = USUAL[kind];
  const value = numberOf(text);
  const [to, from] = [sign, usual?.[0]].map((wanted) => units.find((unit) => unit.sign === wanted));
  if (usual === undefined || value === null || to === undefined || from === undefined) return null;
  const [low, high] = [inUnit(usual[1], from, to), inUnit(usual[2], from, to)];
  const slack = 1e-9 * Math.max(Math.abs(low), Math.abs(high));
  return value < low - slack || value > high + slack ? [low, high] : null;
}

/** How long a test has to stand before it is read, in seconds: proposed, never forced. */
export const WAITS: Record<string, readonly number[]> = {
  water_drop: [60, 300],
  acid_drop: [60],
  stain_drop: [300, 3600],
  in_slab_humidity: [24 * 3600, 72 * 3600],
  moisture_emission: [60 * 3600, 72 * 3600],
  plastic_sheet: [16 * 3600, 24 * 3600],
  surface_ph: [60],
  oil_bleed_back: [24 * 3600],
  solvent_rub: [300],
};

const stem = (word: string): string => word.replace(/(es|s)$/, "");
const wordsOf = (text: string): string[] =>
  text.toLowerCase().normalize("NFD").replaceAll(/\p{M}/gu, "").split(/[^\p{L}\p{N}]+/u).filter((word) => word.length > 1).map(stem);

/** The kind of test that a sentence speaks of: the one with the most words, all of them said. */
export function kindIn(sentence: string, kinds: readonly { kind: string; name: string }[]): string | null {
  const said = new Set(wordsOf(sentence));
  const fitting = kinds
    .map(({ kind, name }) => ({ kind, words: wordsOf(name) }))
    .filter(({ words }) => words.length > 0 && words.every((word) => said.has(word)));
  return fitting.sort((one, other) => other.words.length - one.words.length)[0]?.kind ?? null;
}
