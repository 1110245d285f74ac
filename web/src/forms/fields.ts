/** The one description of all fields, as the program's readers make it. Forms follow from it. */

import { type FieldsPage, api } from "../api/client";
import { time } from "../parts/entry";
import { language, t } from "../parts/language";
import { sentence } from "../parts/words";

export type ThingForm = FieldsPage["things"][number];
export type FieldForm = ThingForm["fields"][number];
export type Form = FieldForm["of"];
export type ChoiceAsked = Extract<Form, { form: "choice" }>["choices"][number];
export type UnitAsked = Extract<Form, { form: "quantity" }>["units"][number];
export type NameOf = Extract<Form, { form: "name" }>["of"];

/** What a form works on: a table of the record. */
export type Fields = Record<string, unknown>;

let asked: Promise<ThingForm[]> | null = null;

/** Every form. Asked for once; a failure is not kept. */
export function allForms(): Promise<ThingForm[]> {
  asked ??= api
    .fields()
    .then((page) => page.things)
    .catch((why: unknown) => {
      asked = null;
      throw why;
    });
  return asked;
}

/** The form of a thing: of a kind of mark or test, of a table of the job, or of the thing as such. */
export function formOf(forms: readonly ThingForm[], thing: string, of: { kind?: string | undefined; table?: string } = {}): ThingForm | undefined {
  return forms.find(
    (form) => form.thing === thing && (form.kind ?? undefined) === of.kind && (form.table ?? undefined) === of.table,
  );
}

export const labelOf = (field: FieldForm): string => sentence(field.meaning === "" ? field.name.replaceAll("_", " ") : field.meaning);

/** A number as a person types it: `1 1/2`, `0,5`, `12`. */
export function numberOf(text: string): number | null {
  const plain = text.trim().replace("−", "-").replace(/^(-?\d+),(\d+)$/, "$1.$2");
  const mixed = /^(-?)(?:(\d+)\s+)?(\d+)\s*\/\s*(\d+)$/.exec(plain);
  if (mixed !== null) {
    const [, minus, whole, over, under] = mixed;
    if (Number(under) === 0) return null;
    return (minus === "-" ? -1 : 1) * (Number(whole ?? 0) + Number(over) / Number(under));
  }
  return /^-?(\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : null;
}

/** The unit with which a person begins in a field: the last one used there, else the usual one. */
export function unitOf(field: string, units: readonly UnitAsked[], plan: "ft" | "m"): string {
  const signs = units.map((unit) => unit.sign);
  const kept = localStorage.getItem(`tooth unit ${field}`);
  if (kept !== null && signs.includes(kept)) return kept;
  const metres = units.find((unit) => unit.sign === "m")?.high;
  const small = metres !== undefined && metres <= 5;
  const usual = plan === "ft" ? [small ? "in" : "ft", "ft2", "psi", "F", "%", "gal", "lb", "lb/1000ft2/24h", "ft2/h", "mph"] : [small ? "mm" : "m", "m2", "MPa", "C", "%", "L", "kg", "g/m2/24h", "m2/h", "km/h"];
  return usual.find((sign) => signs.includes(sign)) ?? signs[0] ?? "";
}

/** The units that are offered: all where they are few, else those that are usual there. */
export function offered(units: readonly UnitAsked[], plan: "ft" | "m", now: string): UnitAsked[] {
  if (units.length <= 4) {
    // A bare share is written by files, never by people.
    const bare = units.length > 1 && now !== "";
    return units.filter((unit) => !bare || unit.sign !== "");
  }
  const usual = plan === "ft" ? ["mil", "in", "ft", "mm"] : ["um", "mm", "cm", "m"];
  const found = units.filter((unit) => usual.includes(unit.sign) || unit.sign === now);
  return found.length > 1 ? found : units.slice(0, 4);
}

export const keepUnit = (field: string, unit: string): void => localStorage.setItem(`tooth unit ${field}`, unit);

/** A measure taken apart: what stands before its unit, and the unit. */
export function partsOf(text: string, units: readonly UnitAsked[], first = units[0]?.sign ?? ""): { number: string; unit: string } {
  const found = units.map((unit) => unit.sign).filter((sign) => sign !== "" && text.trim().endsWith(sign));
  const unit = found.sort((one, other) => other.length - one.length)[0];
  return unit === undefined ? { number: text.trim(), unit: first } : { number: text.trim().slice(0, -unit.length).trim(), unit };
}

/** Whether a number is such that the reader takes it in this unit. */
export function fits(number: number, unit: string, units: readonly UnitAsked[]): boolean {
  const found = units.find((one) => one.sign === unit);
  const slack = 1e-9 * Math.max(1, Math.abs(number));
  return found === undefined || (number >= found.low - slack && number <= found.high + slack);
}

const shown = (number: number): string =>
  number.toLocaleString(language === "es" ? "es-419" : "en-US", { maximumSignificantDigits: 4 });

/** What is wrong with a measure; none where it will be read. */
export function wrongMeasure(number: string, unit: string, units: readonly UnitAsked[]): string | null {
  const value = numberOf(number);
  if (value === null) return t("web-capture-type-a-number");
  const found = units.find((one) => one.sign === unit);
  if (found === undefined || fits(value, unit, units)) return null;
  return t("web-capture-from-to", { low: shown(found.low), high: shown(found.high), unit });
}

const empty = (value: unknown): boolean =>
  value === undefined || value === null || value === "" || (Array.isArray(value) && value.length === 0);

/** What is wrong with the value of a field; none where it may stand. */
export function wrong(field: FieldForm, value: unknown): string | null {
  if (empty(value)) return field.must && field.of.form !== "flag" ? t("web-capture-must") : null;
  const { of } = field;
  if (of.form === "quantity") {
    const all = of.count > 1 ? (Array.isArray(value) ? value : []) : field.many && Array.isArray(value) ? value : [value];
    if (of.count > 1 && all.length !== of.count) return t("web-capture-all-of-them", { count: of.count });
    for (const one of all) {
      const text = String(one);
      const { number, unit } = of.unit_apart ? { number: text, unit: "" } : partsOf(text, of.units);
      const fault = wrongMeasure(number, unit, of.units);
      if (fault !== null) return fault;
    }
    return null;
  }
  if (of.form === "whole" || of.form === "number") {
    const number = typeof value === "number" ? value : numberOf(String(value));
    if (number === null || (of.form === "whole" && !Number.isInteger(number))) return t("web-capture-type-a-number");
    return number < of.low || number > of.high ? t("web-capture-from-to", { low: shown(of.low), high: shown(of.high), unit: "" }) : null;
  }
  if (of.form === "date") return /^\d{4}-\d{2}-\d{2}$/.test(String(value)) ? null : t("web-capture-must");
  if (of.form === "new_name") return NAME.test(String(value)) ? null : t("web-capture-name-of-letters");
  if (of.form === "table" && !field.many) {
    return of.fields.map((inner) => wrong(inner, (value as Fields)[inner.name])).find((fault) => fault !== null) ?? null;
  }
  return null;
}

/** Names of areas, marks, systems and readings. */
export const NAME = /^[\p{L}\p{N}_.-]{1,64}$/u;

/** Every field that is not as it must be, by its name. */
export function allWrong(fields: readonly FieldForm[], value: Fields): Map<string, string> {
  const faults = fields.map((field): [string, string | null] => [field.name, wrong(field, value[field.name])]);
  return new Map(faults.filter((fault): fault is [string, string] => fault[1] !== null));
}

/** A table without what was left empty: a reader wants no empty texts. */
export function cleaned(value: Fields): Fields {
  return Object.fromEntries(
    Object.entries(value)
      .filter(([, inner]) => !empty(inner))
      .map(([name, inner]) => [name, typeof inner === "string" ? inner.trim() : inner]),
  );
}

/** What may be named, as people call it. */
export type Names = (of: string) => { key: string; name: string }[];

/** A value in words, as the form's choices call it. */
export function told(field: FieldForm | undefined, value: unknown, names: Names = () => []): string {
  if (typeof value === "boolean") return value ? t("web-capture-yes") : t("web-capture-no");
  if (Array.isArray(value)) {
    const parts = value.map((one) => told(field, one, names));
    return field?.of.form === "profile" || (field?.of.form === "quantity" && field.of.count > 1) ? parts.join(" – ") : parts.join(", ");
  }
  if (typeof value === "object" && value !== null) {
    const inner = field?.of.form === "table" ? field.of.fields : [];
    return Object.entries(value).map(([name, one]) => {
      const of = inner.find((known) => known.name === name);
      return `${of === undefined ? name.replaceAll("_", " ") : labelOf(of)}: ${told(of, one, names)}`;
    }).join("; ");
  }
  if (field?.of.form === "choice") {
    return field.of.choices.find((choice) => choice.key === value)?.name ?? String(value);
  }
  if (field?.of.form === "name") {
    const { of } = field.of;
    return names(of).find((one) => one.key === value)?.name ?? String(value);
  }
  return field?.of.form === "time" && typeof value === "string" ? time(value) : String(value ?? "");
}
