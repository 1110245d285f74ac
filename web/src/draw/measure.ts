/** Lengths and angles as people type and read them, on both sides of the border of units. */

export type PlanUnit = "ft" | "m";

/** How many of the plan's units one of these is. */
const METRES: Record<string, number> = { mm: 0.001, cm: 0.01, m: 1, in: 0.0254, ft: 0.3048 };

const WORDS: Record<string, string> = {
  mm: "mm",
  cm: "cm",
  m: "m",
  metre: "m",
  metres: "m",
  meter: "m",
  meters: "m",
  metro: "m",
  metros: "m",
  in: "in",
  inch: "in",
  inches: "in",
  pulg: "in",
  pulgada: "in",
  pulgadas: "in",
  '"': "in",
  ft: "ft",
  foot: "ft",
  feet: "ft",
  pie: "ft",
  pies: "ft",
  "'": "ft",
};

const EIGHTHS: Record<string, string> = {
  "½": "1/2",
  "¼": "1/4",
  "¾": "3/4",
  "⅛": "1/8",
  "⅜": "3/8",
  "⅝": "5/8",
  "⅞": "7/8",
};

function plain(text: string): string {
  return text
    .trim()
    .toLowerCase()
    .replace(/[½¼¾⅛⅜⅝⅞]/g, (sign) => ` ${EIGHTHS[sign]}`)
    .replace(/''|[″”“]/g, '"')
    .replace(/[′’‘]/g, "'")
    .replace(/[–—−]/g, "-")
    .replace(/\s+/g, " ")
    .trim();
}

/** A number with an optional fraction: `6`, `6.5`, `6,5`, `1/2`, `6 1/2`. */
function number(text: string): number | null {
  const parts = /^(?:(\d+(?:[.,]\d+)?|[.,]\d+))?(?: ?(\d+) ?\/ ?(\d+))?$/.exec(text.trim());
  if (parts === null || (parts[1] === undefined && parts[2] === undefined)) {
    return null;
  }
  const [, whole, over, under] = parts;
  // A comma before three digits may part thousands or decimals: nobody can tell.
  if (whole !== undefined && /,\d{3}$/.test(whole)) {
    return null;
  }
  if (over !== undefined && whole !== undefined && !/^\d+$/.test(whole)) {
    return null;
  }
  const base = whole === undefined ? 0 : Number(whole.replace(",", "."));
  if (over === undefined || under === undefined) {
    return base;
  }
  return Number(under) === 0 || Number(over) >= Number(under) ? null : base + Number(over) / Number(under);
}

const inUnit = (value: number, from: string, unit: PlanUnit): number =>
  from === unit ? value : (value * (METRES[from] ?? Number.NaN)) / (METRES[unit] ?? Number.NaN);

/** Feet and inches that belong together: below a foot, or it is a slip. */
function feetAndInches(feet: string, inches: string, unit: PlanUnit): number | null {
  const [whole, rest] = [number(feet), number(inches)];
  if (whole === null || rest === null || rest >= 12 || !Number.isInteger(whole)) {
    return null;
  }
  return inUnit(whole * 12 + rest, "in", unit);
}

function size(text: string, unit: PlanUnit): number | null {
  const said = plain(text);
  const mixed = /^(\d+) ?(?:'|ft|feet|foot|pies?) ?-? ?(\d[\d ./,]*?) ?(?:"|in|inch|inches|pulg|pulgadas?)?$/.exec(said);
  if (mixed !== null) {
    return feetAndInches(mixed[1] ?? "", mixed[2] ?? "", unit);
  }
  const dashed = /^(\d+) ?- ?(\d[\d ./,]*?) ?"?$/.exec(said);
  if (dashed !== null) {
    return feetAndInches(dashed[1] ?? "", dashed[2] ?? "", unit);
  }
  // A number pad has no marks for feet and inches.
  const spaced = unit === "ft" ? /^(\d+) (\d+(?: \d+ ?\/ ?\d+)?)$/.exec(said) : null;
  if (spaced !== null) {
    return feetAndInches(spaced[1] ?? "", spaced[2] ?? "", unit);
  }
  const one = /^([\d ./,]+?) ?([a-z"']*)$/.exec(said);
  const word = one?.[2] ?? "";
  const known = word === "" ? unit : WORDS[word];
  const value = number(one?.[1] ?? "");
  return known === undefined || value === null ? null : inUnit(value, known, unit);
}

/** A length in the plan's unit; `null` of what is none, or is zero. */
export function parseLength(text: string, unit: PlanUnit): number | null {
  const value = size(text, unit);
  return value === null || !Number.isFinite(value) || value <= 0 ? null : value;
}

/** A place along an axis: a length, zero, or one below zero. */
export function parseCoordinate(text: string, unit: PlanUnit): number | null {
  const said = plain(text);
  const below = said.startsWith("-");
  const value = size(below ? said.slice(1) : said, unit);
  return value === null || !Number.isFinite(value) ? null : below ? 0 - value : value;
}

/** Degrees: `45`, `45.5°`, `45° 30'`. */
export function parseAngle(text: string): number | null {
  const said = plain(text).replace(/ ?(deg|degrees|grados)$/, "°");
  const parts = /^(-?)(\d+(?:[.,]\d+)?)(?: ?° ?(?:(\d+(?:[.,]\d+)?) ?')?)?$/.exec(said);
  if (parts === null) {
    return null;
  }
  const minutes = parts[3] === undefined ? 0 : Number(parts[3].replace(",", "."));
  const value = Number((parts[2] ?? "").replace(",", ".")) + minutes / 60;
  return minutes >= 60 || value > 360 ? null : parts[1] === "-" ? -value : value;
}

/** A length as it is read aloud on site: feet, inches and eighths, or metres. */
export function showLength(value: number, unit: PlanUnit, locale?: string): string {
  if (unit === "m") {
    const digits = { minimumFractionDigits: 2, maximumFractionDigits: Math.abs(value) < 1 ? 3 : 2 };
    return `${value.toLocaleString(locale, digits)} m`;
  }
  const sign = value < 0 ? "−" : "";
  const eighths = Math.round(Math.abs(value) * 96);
  const feet = Math.floor(eighths / 96);
  const inches = Math.floor((eighths % 96) / 8);
  const rest = eighths % 8;
  const fraction = rest === 0 ? "" : rest % 4 === 0 ? "1/2" : rest % 2 === 0 ? `${rest / 2}/4` : `${rest}/8`;
  const small = [inches > 0 || rest === 0 ? String(inches) : "", fraction].filter((part) => part !== "").join(" ");
  if (feet === 0) {
    return `${sign}${small}″`;
  }
  return inches === 0 && rest === 0 ? `${sign}${feet}′` : `${sign}${feet}′ ${small}″`;
}

/** An area in the plan's unit. */
export function showArea(value: number, unit: PlanUnit, locale?: string): string {
  const digits = value < 10 ? 2 : value < 1000 ? 1 : 0;
  return `${value.toLocaleString(locale, { maximumFractionDigits: digits })} ${unit}²`;
}

/** As much of a number as a plan keeps: well below what a tape can tell. */
export function kept(value: number): number {
  return Math.round(value * 10_000) / 10_000 + 0;
}
