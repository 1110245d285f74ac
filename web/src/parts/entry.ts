/** Entries of the record in words. */

import type { Fact } from "../api/client";
import { language, t } from "./language";

export function thingOf(fact: Fact): string | null {
  if ("stated" in fact) return fact.stated.thing;
  if ("corrected" in fact) return fact.corrected.thing;
  if ("withdrawn" in fact) return fact.withdrawn.thing;
  if ("attached" in fact) return `file/${fact.attached.name}`;
  return null;
}

export function verbOf(fact: Fact): string {
  if ("stated" in fact) return t("web-stated");
  if ("corrected" in fact) return t("web-corrected");
  if ("withdrawn" in fact) return t("web-withdrawn");
  if ("attached" in fact) return fact.attached.replaces.length > 0 ? t("web-received-anew") : t("web-received");
  if ("erased" in fact) return t("web-erased");
  return t("web-issued", { count: fact.issued.documents.length, day: fact.issued.issued_on });
}

export function reasonOf(fact: Fact): string | null {
  if ("corrected" in fact) return fact.corrected.reason;
  if ("withdrawn" in fact) return fact.withdrawn.reason;
  if ("erased" in fact) return fact.erased.reason;
  return null;
}

function plain(value: unknown): string {
  if (typeof value === "string") return value;
  const text = JSON.stringify(value);
  return text.length > 400 ? `${text.slice(0, 400)} …` : text;
}

/** What was said, field by field; what a feature says of itself stands first. */
export function said(fact: Fact): [string, string][] {
  if ("attached" in fact) {
    return [
      [t("web-bytes"), String(fact.attached.bytes)],
      [t("web-hash"), fact.attached.hash],
    ];
  }
  if ("erased" in fact) return [[t("web-hash"), fact.erased.hash]];
  const value: unknown =
    "stated" in fact ? fact.stated.value : "corrected" in fact ? fact.corrected.value : null;
  if (value === null || value === undefined) return [];
  if (typeof value !== "object" || Array.isArray(value)) return [[t("web-value"), plain(value)]];
  const fields = Object.entries(value).flatMap(([field, inner]): [string, unknown][] =>
    field === "properties" && typeof inner === "object" && inner !== null
      ? Object.entries(inner)
      : [[field, inner]],
  );
  return fields
    .filter(([field]) => field !== "type")
    .map(([field, inner]): [string, string] => [field.replaceAll("_", " "), plain(inner)]);
}

/** A time as a person reads it, in their own zone. */
export function time(stamp: string): string {
  const date = new Date(stamp);
  return Number.isNaN(date.valueOf())
    ? stamp
    : date.toLocaleString(language === "es" ? "es-419" : undefined, { dateStyle: "medium", timeStyle: "short" });
}
