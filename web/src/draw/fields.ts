/** What is asked of each kind of mark, as the program describes it: buttons follow from it. */

import { language } from "../parts/language";

export interface Choice {
  key: string;
  name: string;
}

export type Asked =
  | { form: "text" }
  | { form: "choice"; choices: Choice[]; usual: string | null }
  | { form: "flag"; usual: boolean }
  | { form: "whole" | "number"; low: number; high: number }
  | { form: "quantity" }
  | { form: "date" }
  | { form: "name"; of: string };

export interface Field {
  name: string;
  meaning: string;
  must: boolean;
  asked: Asked;
}

/** Fields by kind of mark. */
export type FieldsByKind = ReadonlyMap<string, readonly Field[]>;

interface FieldWritten {
  name: string;
  meaning?: string | null;
  must?: boolean;
  of?: Record<string, unknown>;
}

interface FormWritten {
  thing: string;
  kind?: string | null;
  fields?: FieldWritten[];
}

const text = (value: unknown): string => (typeof value === "string" ? value : "");
const number = (value: unknown, usual: number): number => (typeof value === "number" ? value : usual);

function asked(of: Record<string, unknown>): Asked {
  switch (of["form"]) {
    case "choice": {
      const choices = Array.isArray(of["choices"]) ? (of["choices"] as Partial<Choice>[]) : [];
      const named = choices.map(({ key, name }) => ({ key: text(key), name: text(name) || text(key) }));
      return { form: "choice", choices: named, usual: text(of["usual"]) || null };
    }
    case "flag":
      return { form: "flag", usual: of["usual"] === true };
    case "whole":
    case "number":
      return { form: of["form"], low: number(of["low"], 0), high: number(of["high"], Infinity) };
    case "quantity":
    case "date":
      return { form: of["form"] };
    case "name":
    case "name_of":
      return { form: "name", of: text(of["of"]) || text(of["thing"]) };
    default:
      return { form: "text" };
  }
}

/** What of a mark is said by drawing it. */
const DRAWN = new Set(["id", "kind"]);

export function fieldsOf(page: { things?: FormWritten[] }): FieldsByKind {
  const found = new Map<string, readonly Field[]>();
  for (const { thing, kind, fields = [] } of page.things ?? []) {
    if (thing !== "feature" || typeof kind !== "string") {
      continue;
    }
    const asks = fields
      .filter(({ name }) => !DRAWN.has(name))
      .map(({ name, meaning, must, of }): Field => ({
        name,
        meaning: text(meaning) || name.replaceAll("_", " "),
        must: must === true,
        asked: asked(of ?? {}),
      }));
    // What must be said stands first.
    found.set(kind, [...asks.filter((field) => field.must), ...asks.filter((field) => !field.must)]);
  }
  return found;
}

let asking: Promise<FieldsByKind> | null = null;

/** Asked once; a failed asking is forgotten, so that the next one tries again. */
export function fieldsByKind(): Promise<FieldsByKind> {
  asking ??= fetch("/api/fields", { headers: { accept: "application/json", "accept-language": language } })
    .then((answer) => (answer.ok ? (answer.json() as Promise<{ things?: FormWritten[] }>) : Promise.reject(new Error(String(answer.status)))))
    .then(fieldsOf)
    .catch((why: unknown) => {
      asking = null;
      throw why;
    });
  return asking;
}

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

/** Whether a field still lacks what it must say. */
export function lacking(fields: readonly Field[], said: Readonly<Record<string, unknown>>): Field[] {
  return fields.filter(({ name, must }) => must && (said[name] === undefined || said[name] === ""));
}

/** What was said, without what was left empty. */
export function filled(said: Readonly<Record<string, unknown>>): Record<string, unknown> {
  return Object.fromEntries(Object.entries(said).filter(([, value]) => value !== undefined && value !== "" && value !== null));
}
