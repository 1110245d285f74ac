/** What is asked of each kind of mark, as the program describes it: buttons follow from it. */

import { allForms, type FieldForm, type ThingForm } from "../forms/fields";

/** Fields by kind of mark. */
export type FieldsByKind = ReadonlyMap<string, readonly FieldForm[]>;

/** What of a mark is said by drawing it. */
const DRAWN = new Set(["id", "kind"]);

export function marksOf(forms: readonly ThingForm[]): FieldsByKind {
  const found = new Map<string, readonly FieldForm[]>();
  for (const { thing, kind, fields } of forms) {
    if (thing === "feature" && typeof kind === "string") {
      const asks = fields.filter(({ name }) => !DRAWN.has(name));
      // What must be said stands first.
      found.set(kind, [...asks.filter((field) => field.must), ...asks.filter((field) => !field.must)]);
    }
  }
  return found;
}

export const fieldsByKind = (): Promise<FieldsByKind> => allForms().then(marksOf);

/** Figures that are touched instead of typed, by the plan's unit. */
const QUICK: Record<string, { ft: readonly string[]; m: readonly string[] }> = {
  width: {
    ft: ["0.01 in", "0.02 in", "0.03 in", "0.06 in", "1/8 in", "1/4 in"],
    m: ["0.2 mm", "0.5 mm", "0.8 mm", "1.5 mm", "3 mm", "6 mm"],
  },
  depth: { ft: ["1/8 in", "1/4 in", "1/2 in", "1 in", "2 in"], m: ["3 mm", "6 mm", "12 mm", "25 mm", "50 mm"] },
  thickness: { ft: ["0.004 in", "0.01 in", "0.02 in", "1/8 in"], m: ["0.1 mm", "0.25 mm", "0.5 mm", "3 mm"] },
  offset: { ft: ["1/8 in", "1/4 in", "1/2 in", "1 in"], m: ["3 mm", "6 mm", "12 mm", "25 mm"] },
  cover: { ft: ["1 in", "1 1/2 in", "2 in", "3 in"], m: ["25 mm", "40 mm", "50 mm", "75 mm"] },
};

export const quick = (field: string, unit: "ft" | "m"): readonly string[] => QUICK[field]?.[unit] ?? [];

/** What was said, without what was left empty. */
export function filled(said: Readonly<Record<string, unknown>>): Record<string, unknown> {
  return Object.fromEntries(Object.entries(said).filter(([, value]) => value !== undefined && value !== "" && value !== null));
}
