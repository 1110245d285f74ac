/** Outlines from drawings of other programs: lines and light polylines of DXF, and GeoJSON. */

import type { PlanUnit } from "./measure";
import type { Point } from "./shapes";

export interface Outline {
  points: Point[];
  closed: boolean;
}

export interface Imported {
  outlines: Outline[];
  /** What the file says its unit is; `null` where it does not. */
  unit: string | null;
  /** Kinds of drawn things that were passed over, with their number. */
  passed: Map<string, number>;
}

/** Lengths of one of the units that a DXF file may name, in metres. */
const DXF_UNITS: Record<number, [string, number]> = {
  1: ["in", 0.0254],
  2: ["ft", 0.3048],
  4: ["mm", 0.001],
  5: ["cm", 0.01],
  6: ["m", 1],
};

type Pair = [number, string];

function pairs(text: string): Pair[] {
  const lines = text.split(/\r\n|\r|\n/);
  const found: Pair[] = [];
  for (let at = 0; at + 1 < lines.length; at += 2) {
    found.push([Number((lines[at] ?? "").trim()), (lines[at + 1] ?? "").trim()]);
  }
  return found;
}

/** Lines and light polylines in the plan's unit; `null` of what is no such file. */
export function readDxf(text: string, unit: PlanUnit): Imported | null {
  const all = pairs(text);
  const insunits = all.findIndex(([code, value]) => code === 9 && value === "$INSUNITS");
  const said = DXF_UNITS[Number(all[insunits + 1]?.[1] ?? 0)];
  const named = insunits < 0 ? undefined : said;
  const factor = named === undefined ? 1 : named[1] / (unit === "ft" ? 0.3048 : 1);
  const start = all.findIndex(([code, value], at) => code === 2 && value === "ENTITIES" && all[at - 1]?.[1] === "SECTION");
  if (start < 0) {
    return null;
  }
  const outlines: Outline[] = [];
  const passed = new Map<string, number>();
  let [entity, points, closed] = ["", [] as Point[], false];
  const end = () => {
    if (entity === "LINE" || entity === "LWPOLYLINE") {
      if (points.length > 1 && points.flat().every(Number.isFinite)) {
        outlines.push({ points, closed });
      }
    } else if (entity !== "") {
      passed.set(entity, (passed.get(entity) ?? 0) + 1);
    }
    [points, closed] = [[], false];
  };
  for (const [code, value] of all.slice(start + 1)) {
    if (code === 0) {
      end();
      entity = value;
      if (value === "ENDSEC") {
        break;
      }
      continue;
    }
    const number = Number(value) * factor;
    const last = points[points.length - 1];
    if (code === 10 || (code === 11 && entity === "LINE")) {
      points.push([number, Number.NaN]);
    } else if ((code === 20 || (code === 21 && entity === "LINE")) && last !== undefined) {
      last[1] = number;
    } else if (code === 70 && entity === "LWPOLYLINE") {
      closed = (Number(value) & 1) === 1;
    } else if (code === 42 && entity === "LWPOLYLINE" && Number(value) !== 0) {
      // A bent side is taken as its chord; that is said.
      passed.set("ARC", (passed.get("ARC") ?? 0) + 1);
    }
  }
  return { outlines, unit: named?.[0] ?? null, passed };
}

const isPoint = (one: unknown): one is Point =>
  Array.isArray(one) && one.length >= 2 && one.slice(0, 2).every((part) => typeof part === "number" && Number.isFinite(part));

/** Lines and outer rings of a GeoJSON text in a plane; its `units` may say feet or metres. */
export function readGeoJson(text: string, unit: PlanUnit): Imported | null {
  let top: unknown;
  try {
    top = JSON.parse(text);
  } catch {
    return null;
  }
  const outlines: Outline[] = [];
  const passed = new Map<string, number>();
  const named = (top as { units?: unknown } | null)?.units;
  const said = named === "ft" || named === "m" ? named : null;
  const factor = said === null || said === unit ? 1 : said === "ft" ? 0.3048 : 1 / 0.3048;
  const line = (points: unknown, closed: boolean) => {
    if (Array.isArray(points) && points.every(isPoint) && points.length > 1) {
      const scaled = points.map(([x, y]): Point => [x * factor, y * factor]);
      outlines.push({ points: closed ? scaled.slice(0, -1) : scaled, closed });
    }
  };
  const take = (node: unknown): void => {
    if (typeof node !== "object" || node === null) {
      return;
    }
    const { type, features, geometry, geometries, coordinates } = node as Record<string, unknown>;
    const list = Array.isArray(coordinates) ? (coordinates as unknown[]) : [];
    if (type === "FeatureCollection" && Array.isArray(features)) features.forEach(take);
    else if (type === "Feature") take(geometry);
    else if (type === "GeometryCollection" && Array.isArray(geometries)) geometries.forEach(take);
    else if (type === "Polygon") line(list[0], true);
    else if (type === "MultiPolygon") list.forEach((rings) => line(Array.isArray(rings) ? rings[0] : null, true));
    else if (type === "LineString") line(list, false);
    else if (type === "MultiLineString") list.forEach((points) => line(points, false));
    else if (typeof type === "string") passed.set(type, (passed.get(type) ?? 0) + 1);
  };
  take(top);
  return outlines.length === 0 && passed.size === 0 ? null : { outlines, unit: said, passed };
}
