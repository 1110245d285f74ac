/** Marks on the plan as the page draws them, and as the record holds them. */

import type { HeldThing } from "../entries/job.svelte";
import { kept, type PlanUnit } from "./measure";
import { areaOf, distance, holds, nearest, sides, type Point } from "./shapes";

export type Shape = "spot" | "line" | "patch";
/** How a finger draws: touch by touch, in one stroke, or from corner to corner. */
export type Way = "corners" | "stroke" | "box";

export interface Drawable {
  kind: string;
  /** How the names of its marks begin; areas are called by a letter alone. */
  prefix: string;
  shapes: readonly Shape[];
  usual: Way;
}

const drawable = (kind: string, prefix: string, shapes: readonly Shape[], usual: Way): Drawable => ({ kind, prefix, shapes, usual });

const ANY: readonly Shape[] = ["patch", "line", "spot"];

/** What can be drawn, in the order in which a floor is surveyed. */
export const DRAWABLES: readonly Drawable[] = [
  drawable("zone", "", ["patch"], "corners"),
  drawable("wall", "W", ["line"], "corners"),
  drawable("obstacle", "K", ["patch"], "box"),
  drawable("joint", "J", ["line"], "corners"),
  drawable("crack", "C", ["line"], "stroke"),
  drawable("pattern_cracking", "M", ["patch"], "stroke"),
  drawable("spall", "S", ["patch"], "stroke"),
  drawable("hollow", "H", ["patch"], "stroke"),
  drawable("film", "F", ["patch"], "corners"),
  drawable("stain", "R", ["patch"], "stroke"),
  drawable("surface", "L", ["patch"], "corners"),
  drawable("low_spot", "V", ["patch"], "stroke"),
  drawable("settlement", "U", ANY, "corners"),
  drawable("ghost", "G", ANY, "corners"),
  drawable("small_damage", "E", ANY, "corners"),
  drawable("embedded", "T", ["line", "patch", "spot"], "corners"),
  drawable("sounded", "D", ["patch"], "corners"),
  drawable("sample_panel", "P", ["patch"], "box"),
  drawable("photo", "N", ["spot"], "corners"),
];

/** A kind that this page does not know yet may have any shape. */
export function drawableOf(kind: string): Drawable {
  return DRAWABLES.find((one) => one.kind === kind) ?? drawable(kind, "X", ANY, "corners");
}

/** The plan's page calls an area what the file calls a zone. */
export const lookOf = (kind: string): string => (kind === "zone" ? "area" : kind);

export interface Mark {
  thing: string;
  name: string;
  kind: string;
  shape: Shape;
  /** Corners; of a patch the first is not repeated. */
  points: Point[];
  properties: Readonly<Record<string, unknown>>;
  value: unknown;
  waiting: boolean;
  clash: boolean;
}

const isPoint = (one: unknown): one is Point =>
  Array.isArray(one) && one.length >= 2 && Number.isFinite(one[0]) && Number.isFinite(one[1]);

function pointsOf(geometry: unknown): { shape: Shape; points: Point[] } | null {
  const { type, coordinates } = (geometry ?? {}) as { type?: unknown; coordinates?: unknown };
  if (type === "Point" && isPoint(coordinates)) {
    return { shape: "spot", points: [coordinates] };
  }
  const list: unknown = type === "Polygon" && Array.isArray(coordinates) ? coordinates[0] : coordinates;
  if (!Array.isArray(list) || !list.every(isPoint)) {
    return null;
  }
  if (type === "LineString" && list.length > 1) {
    return { shape: "line", points: list };
  }
  return type === "Polygon" && list.length > 3 ? { shape: "patch", points: list.slice(0, -1) } : null;
}

function markOf(held: HeldThing): Mark | null {
  if (held.kind !== "feature" || held.state === "withdrawn" || typeof held.value !== "object" || held.value === null) {
    return null;
  }
  const { properties, geometry } = held.value as { properties?: Record<string, unknown>; geometry?: unknown };
  const found = pointsOf(geometry);
  if (found === null || typeof properties?.["kind"] !== "string") {
    return null;
  }
  return {
    thing: held.thing,
    name: held.name,
    kind: properties["kind"],
    ...found,
    properties,
    value: held.value,
    waiting: held.waiting,
    clash: held.state === "clash",
  };
}

/** The marks of a job. Of what stays the same the mark stays the same too, so that thousands cost nothing. */
export class Marks {
  private known = new Map<string, { held: HeldThing; mark: Mark | null }>();

  of(things: ReadonlyMap<string, HeldThing>): Mark[] {
    const next: typeof this.known = new Map();
    const found: Mark[] = [];
    for (const [thing, held] of things) {
      if (held.kind !== "feature") {
        continue;
      }
      const before = this.known.get(thing);
      const mark = before !== undefined && alike(before.held, held) ? before.mark : markOf(held);
      next.set(thing, { held, mark });
      if (mark !== null) {
        found.push(mark);
      }
    }
    this.known = next;
    return found;
  }
}

/** What the program tells anew is another value that says the same. */
function alike(one: HeldThing, other: HeldThing): boolean {
  return (
    one.state === other.state &&
    one.waiting === other.waiting &&
    (one.value === other.value || JSON.stringify(one.value) === JSON.stringify(other.value))
  );
}

const place = ([x, y]: Point): Point => [kept(x), kept(y)];

/** A mark as the record holds it. */
export function valueOf(properties: Readonly<Record<string, unknown>>, shape: Shape, points: readonly Point[]): unknown {
  const placed = points.map(place);
  const geometry =
    shape === "spot"
      ? { type: "Point", coordinates: placed[0] }
      : shape === "line"
        ? { type: "LineString", coordinates: placed }
        : { type: "Polygon", coordinates: [[...placed, placed[0]]] };
  return { type: "Feature", properties, geometry };
}

/** The letter of the next area: as many letters as areas are gone, and none that is a name already. */
export function nextLetter(names: readonly string[], areas: number): string {
  const taken = new Set(names);
  for (let at = areas; ; at += 1) {
    const round = Math.floor(at / 26);
    const letter = String.fromCharCode(65 + (at % 26)) + (round === 0 ? "" : String(round + 1));
    if (!taken.has(letter)) {
      return letter;
    }
  }
}

/** The unit of the plan: its own, else what people of the job read first. */
export function unitOf(things: ReadonlyMap<string, HeldThing>): PlanUnit {
  const said = (thing: string) => (things.get(thing)?.value as { units?: unknown } | null | undefined)?.units;
  const plan = said("plan");
  return plan === "m" || plan === "ft" ? plan : said("job") === "si" ? "m" : "ft";
}

/** How far a touch is from a mark; zero inside a patch. */
export function away(mark: Pick<Mark, "shape" | "points">, at: Point): number {
  if (mark.shape === "patch" && holds(mark.points, at)) {
    return 0;
  }
  if (mark.shape === "spot") {
    return distance(mark.points[0] as Point, at);
  }
  return Math.min(...sides(mark.points, mark.shape === "patch").map((side) => distance(nearest(at, side).at, at)));
}

/** The smallest thing under a finger first: a spot, a line, the smaller patch; walls and areas last. */
export function underFinger(marks: readonly Mark[], at: Point, reach: number): Mark[] {
  const order = (mark: Mark): number => {
    if (mark.kind === "zone") return 5;
    if (mark.kind === "wall") return 4;
    if (mark.shape === "patch") return mark.kind === "sounded" ? 3 : 2;
    return mark.shape === "line" ? 1 : 0;
  };
  const size = (mark: Mark): number => (mark.shape === "patch" ? areaOf(mark.points) : away(mark, at));
  return marks
    .filter((mark) => away(mark, at) <= reach)
    .map((mark) => ({ mark, order: order(mark), size: size(mark) }))
    .sort((a, b) => a.order - b.order || a.size - b.size)
    .map(({ mark }) => mark);
}
