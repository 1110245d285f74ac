/** Lengths as people type them: `12' 6 1/2"`, `12 ft 6 in`, `40`, `3.2 m`, `3200 mm`. */

import { numberOf } from "./fields";

export type PlanUnit = "ft" | "m";

const METRES: Record<string, number> = { m: 1, cm: 0.01, mm: 0.001, ft: 0.3048, "'": 0.3048, "′": 0.3048, "’": 0.3048, in: 0.0254, '"': 0.0254, "″": 0.0254, "”": 0.0254 };
const PART = /\s*((?:\d+\s+)?\d+\s*\/\s*\d+|\d+(?:[.,]\d+)?|[.,]\d+)\s*(mm|cm|m|ft|in|''|'|’|′|"|″|”)?/y;

/** The length in the plan's unit; none where it is no length. A bare number is in that unit. */
export function lengthOf(text: string, unit: PlanUnit): number | null {
  const all = text.trim().toLowerCase().replaceAll("''", '"').replace(/-(?=\s*\d)/, " ");
  if (all === "") return null;
  let metres = 0;
  let last: string | null = null;
  PART.lastIndex = 0;
  while (PART.lastIndex < all.length) {
    const found = PART.exec(all);
    if (found === null) return null;
    const number = numberOf((found[1] ?? "").replace(/^\./, "0."));
    // After feet a bare number is inches.
    const feet = last !== null && METRES[last] === METRES["ft"];
    const sign: string = found[2] ?? (feet ? "in" : last === null ? unit : "");
    const size = METRES[sign];
    if (number === null || size === undefined) return null;
    // Twelve inches are a foot: more behind feet is a slip.
    if (feet && sign === "in" && number >= 12) return null;
    metres += number * size;
    last = sign;
    if (PART.lastIndex === 0) return null;
    if (all.slice(PART.lastIndex).trim() === "") break;
  }
  const length = unit === "ft" ? metres / 0.3048 : metres;
  return Math.round(length * 1e6) / 1e6;
}

const SIXTEENTHS = 16;

/** A length as a person reads it: feet and inches to a sixteenth, or metres to the millimetre. */
export function lengthTold(length: number, unit: PlanUnit): string {
  if (unit === "m") return `${Math.round(length * 1000) / 1000} m`;
  const parts = Math.round(length * 12 * SIXTEENTHS);
  const feet = Math.trunc(parts / (12 * SIXTEENTHS));
  const rest = Math.abs(parts % (12 * SIXTEENTHS));
  const inches = Math.floor(rest / SIXTEENTHS);
  let [over, under] = [rest % SIXTEENTHS, SIXTEENTHS];
  while (over > 0 && over % 2 === 0) [over, under] = [over / 2, under / 2];
  const fraction = over === 0 ? "" : ` ${over}/${under}`;
  return inches === 0 && over === 0 ? `${feet}'` : `${feet}' ${inches}${fraction}"`;
}
