/** Areas and marks of a job as they lie on the plan. */

import type { HeldThing } from "../entries/job.svelte";
import type { Fields } from "../forms/fields";
import type { PlanUnit } from "../forms/length";
import { t } from "../parts/language";
import { sentence } from "../parts/words";
import { wordsOf } from "../plan/kinds";

export type Spot = [number, number];

export interface Area {
  id: string;
  name: string;
  system: string;
  ring: Spot[];
}

interface Geometry {
  type: string;
  coordinates: unknown;
}

export const propertiesOf = (held: HeldThing): Fields => ((held.value as { properties?: Fields } | null)?.properties ?? {});
const geometryOf = (held: HeldThing): Geometry | null => (held.value as { geometry?: Geometry } | null)?.geometry ?? null;

const spots = (coordinates: unknown): Spot[] =>
  Array.isArray(coordinates) ? coordinates.filter((one): one is Spot => Array.isArray(one) && typeof one[0] === "number" && typeof one[1] === "number") : [];

/** The points of a mark, whatever its shape. */
export function pointsOf(held: HeldThing): Spot[] {
  const geometry = geometryOf(held);
  if (geometry === null) return [];
  if (geometry.type === "Point") return spots([geometry.coordinates]);
  if (geometry.type === "Polygon") return spots((geometry.coordinates as unknown[])[0]);
  return spots(geometry.coordinates);
}

export const kindOf = (held: HeldThing): string => {
  const value = held.kind === "feature" ? propertiesOf(held)["kind"] : (held.value as Fields | null)?.["kind"];
  return typeof value === "string" ? value : "";
};

const text = (value: unknown, other: string): string => (typeof value === "string" && value !== "" ? value : other);

export function areasOf(things: Iterable<HeldThing>): Area[] {
  return [...things]
    .filter((held) => held.kind === "feature" && held.state !== "withdrawn" && kindOf(held) === "zone")
    .map((held) => {
      const own = propertiesOf(held);
      return { id: held.name, name: text(own["name"], held.name), system: text(own["system"], ""), ring: pointsOf(held) };
    });
}

export function unitOf(things: ReadonlyMap<string, HeldThing>): PlanUnit {
  return (things.get("plan")?.value as Fields | null)?.["units"] === "m" ? "m" : "ft";
}

export function inside([x, y]: Spot, ring: readonly Spot[]): boolean {
  let within = false;
  for (let at = 0, before = ring.length - 1; at < ring.length; before = at, at += 1) {
    const [[ax, ay], [bx, by]] = [ring[at] ?? [0, 0], ring[before] ?? [0, 0]];
    if (ay > y !== by > y && x < ((bx - ax) * (y - ay)) / (by - ay) + ax) within = !within;
  }
  return within;
}

export const areaAt = (spot: Spot, areas: readonly Area[]): Area | undefined => areas.find((area) => inside(spot, area.ring));

/** A thing as a person calls it: `Crack C3`, `Reading R017`. */
export function nameOf(held: Pick<HeldThing, "thing" | "kind" | "name" | "value">, kinds: ReadonlyMap<string, string> = new Map()): string {
  const kind = held.kind === "feature" ? kindOf(held as HeldThing) : "";
  if (kind === "zone") return t("web-capture-area-named", { name: text(propertiesOf(held as HeldThing)["name"], held.name) });
  if (kind !== "") return sentence(`${kinds.get(`feature/${kind}`) ?? wordsOf(kind)} ${held.name}`);
  const words = t(`web-capture-thing-${held.kind}`);
  return held.name === "" ? sentence(words) : sentence(`${words} ${held.name}`);
}
