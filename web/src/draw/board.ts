/** The drawing board: OpenLayers shows, pans and pinches; what a finger draws is handled here. */

import Feature from "ol/Feature";
import OlMap from "ol/Map";
import type MapBrowserEvent from "ol/MapBrowserEvent";
import View from "ol/View";
import { defaults as controls, ScaleLine } from "ol/control";
import { getCenter, isEmpty } from "ol/extent";
import { LineString, Point as Spot, Polygon, type Geometry } from "ol/geom";
import { DragPan, Interaction, KeyboardPan, KeyboardZoom, MouseWheelZoom, PinchZoom } from "ol/interaction";
import VectorLayer from "ol/layer/Vector";
import VectorImageLayer from "ol/layer/VectorImage";
import Projection from "ol/proj/Projection";
import VectorSource from "ol/source/Vector";

import { drawn } from "../plan/draw";
import { Ground, type Traced } from "./ground";
import { magnifier } from "./magnifier";
import { lookOf, underFinger, type Mark, type Shape, type Way } from "./marks";
import type { PlanUnit } from "./measure";
import { centre, distance, minus, plus, same, sides, simplified, tidy, untangled, box, type Point, type Segment } from "./shapes";
import { snapped, type SnappedBy } from "./snap";
import { atFirst, band, draft, guide, handle, area as areaStyle, label, proposed, small, snapSign } from "./styles";

export type Tool =
  | { is: "hand" }
  | { is: "draw"; kind: string; shape: Shape; way: Way }
  /** Two places: a cut, or the ends of a known length. */
  | { is: "two"; for: "cut" | "length" };

export interface Sketch {
  points: Point[];
  /** Where the finger is, or will be. */
  at: Point | null;
  by: SnappedBy | null;
  closed: boolean;
}

export interface Moved {
  thing: string;
  points: Point[];
}

export interface Told {
  touched(thing: string | null): void;
  /** A proposed line was touched. */
  proposal(at: number): void;
  sketched(sketch: Sketch | null): void;
  drawn(shape: Shape, points: Point[]): void;
  two(from: Point, to: Point): void;
  moved(changes: Moved[], what: "corner" | "whole"): void;
}

export interface Board {
  show(marks: readonly Mark[]): void;
  tool(tool: Tool): void;
  choose(thing: string | null, look: boolean): void;
  look(points: readonly Point[]): void;
  snapping(on: boolean): void;
  length(value: (points: Segment) => string): void;
  /** Shows what is drawn and not kept yet. */
  pin(drawn: readonly { shape: Shape; points: Point[] }[]): void;
  propose(lines: readonly { line: Segment; taken: boolean }[]): void;
  trace(traced: Traced | null): void;
  add(point: Point): void;
  back(): void;
  finish(): boolean;
  cancel(): void;
  zoom(by: number): void;
  whole(): void;
  middle(): Point;
  perPixel(): number;
  end(): void;
}

/** Reach of a finger and of a pointer, in pixels. */
const FINGER = 22;
const POINTER = 11;
/** More corners than this get no handles: they would cover the mark. */
const HANDLES = 120;
/** A stroke is kept within so many pixels of what was drawn. */
const STROKE = 2;
const EMPTY_PLAN: Record<PlanUnit, [number, number, number, number]> = { ft: [-4, -4, 44, 34], m: [-1, -1, 13, 10] };

function geometryOf(shape: Shape, points: Point[]): Geometry {
  if (shape === "spot") return new Spot(points[0] ?? [0, 0]);
  if (shape === "line") return new LineString(points);
  return new Polygon([[...points, points[0] ?? [0, 0]]]);
}

type Press =
  | { is: "point" }
  | { is: "stroke"; points: Point[] }
  | { is: "box"; from: Point }
  | { is: "corner"; mark: Mark; at: number; moved: Moved[]; away: boolean }
  | { is: "whole"; mark: Mark; from: Point; moved: Moved[]; away: boolean };

export function board(target: HTMLElement, unit: PlanUnit, told: Told): Board {
  const source = new VectorSource();
  const marks = new Map<string, Mark>();
  const features = new Map<string, Feature>();
  const top = new VectorSource();
  const ground = new Ground(unit);
  const projection = new Projection({ code: `plan-${unit}`, units: unit, extent: [-4e5, -4e5, 4e5, 4e5] });
  const layer = new VectorImageLayer({
    source,
    // Drawn somewhat larger than seen, so that panning shows no bare rim at once.
    imageRatio: 1.5,
    style: (feature, resolution) =>
      Number(feature.get("extent")) / resolution < 5 ? small(feature) : feature.get("kind") === "area" ? areaStyle(feature, ground.traced !== null) : drawn(feature, false),
  });
  const topLayer = new VectorLayer({ source: top, updateWhileAnimating: true, updateWhileInteracting: true });
  const view = new View({
    projection,
    center: getCenter(EMPTY_PLAN[unit]),
    resolution: 0.1,
    minResolution: 0.0005,
    maxResolution: 4,
    enableRotation: false,
  });
  let tool: Tool = { is: "hand" };
  let points: Point[] = [];
  let at: Point | null = null;
  let by: SnappedBy | null = null;
  let guides: Segment[] = [];
  let press: Press | null = null;
  let chosen: string | null = null;
  let snapOn = true;
  let proposals: readonly { line: Segment; taken: boolean }[] = [];
  let pinned: readonly { shape: Shape; points: Point[] }[] = [];
  let showLength: (side: Segment) => string = () => "";
  let lastTouch: { at: Point; turn: number } | null = null;
  let spaceDown = false;
  /** Whether the last press was drawn with: its click means nothing more. */
  let taken = false;

  const isFinger = (event: { pointerType?: string }): boolean => event.pointerType === "touch";
  const resolution = (): number => view.getResolution() ?? 1;

  /** Marks near a place, by the index of the source: thousands cost nothing. */
  function near(place: Point, reach: number): Mark[] {
    const [x, y] = place;
    return source
      .getFeaturesInExtent([x - reach, y - reach, x + reach, y + reach])
      .map((feature) => marks.get(String(feature.getId())))
      .filter((mark) => mark !== undefined);
  }

  interface SnapTo {
    without?: (mark: Mark, corner: number) => boolean;
    drawn?: readonly Point[];
    beside?: readonly Point[];
    axes?: boolean;
  }

  function snap(place: Point, reach: number, { without = () => false, drawn: own = [], beside = [] }: SnapTo): ReturnType<typeof snapped> {
    if (!snapOn) {
      return { at: place, by: null, guides: [] };
    }
    if (marks.size === 0 && own.length === 0) {
      // Where nothing is yet, the first corner lies at whole feet or metres.
      return { at: [Math.round(place[0]), Math.round(place[1])], by: null, guides: [] };
    }
    const corners: Point[] = [];
    const edges: Segment[] = [];
    for (const mark of near(place, reach)) {
      const free = mark.points.map((_, corner) => !without(mark, corner));
      mark.points.forEach((corner, index) => {
        if (free[index] === true) corners.push(corner);
      });
      sides(mark.points, mark.shape === "patch").forEach((side, index) => {
        if (free[index] === true && free[(index + 1) % mark.points.length] === true) edges.push(side);
      });
    }
    return snapped(place, { corners, edges, drawn: own, beside, reach });
  }

  const closes = (place: Point): boolean =>
    tool.is === "draw" && tool.shape === "patch" && points.length > 2 && same(place, points[0] as Point);

  function tell(): void {
    const busy = tool.is !== "hand" && (points.length > 0 || at !== null);
    const closed = tool.is === "draw" && tool.shape === "patch";
    told.sketched(busy ? { points: press?.is === "box" && at !== null ? box(press.from, at) : press?.is === "stroke" ? press.points : points, at, by, closed } : null);
    redraw();
  }

  /** The layer above: what is being drawn, what is chosen, its handles and lengths. */
  function redraw(): void {
    const all: Feature[] = [];
    const put = (geometry: Geometry, style: ReturnType<typeof draft>): void => {
      const feature = new Feature({ geometry });
      feature.setStyle(style);
      all.push(feature);
    };
    const lengths = (shown: readonly Point[], closed: boolean, beside = false): void => {
      const each = sides(shown, closed);
      if (each.length > 24) return;
      for (const side of each) {
        if (distance(...side) / resolution() > (beside ? 130 : 56)) {
          // Where a corner can be put in at the middle, the length stands beside that.
          const [a, b] = side;
          const off: Segment = beside ? [a, plus(a, [(b[0] - a[0]) * 0.56, (b[1] - a[1]) * 0.56])] : side;
          put(new LineString(off), label(showLength(side)));
        }
      }
    };
    for (const { shape, points: corners } of pinned) {
      if (shape === "spot") put(new Spot(corners[0] ?? [0, 0]), band(true));
      else put(geometryOf(shape, corners), draft(shape === "patch"));
      if (shape !== "spot") lengths(corners, shape === "patch");
    }
    proposals.forEach(({ line, taken }, index) => put(new LineString(line), proposed(taken, index + 1)));
    const mark = chosen === null ? undefined : marks.get(chosen);
    if (mark !== undefined) {
      const moves = press?.is === "corner" || press?.is === "whole" ? press.moved : [];
      for (const moved of moves) {
        const other = marks.get(moved.thing);
        if (other !== undefined) put(geometryOf(other.shape, moved.points), band(moved.thing === chosen));
      }
      const shown = moves.find((moved) => moved.thing === chosen)?.points ?? mark.points;
      if (moves.length === 0) put(geometryOf(mark.shape, shown), band(true));
      if (mark.shape !== "spot" && pinned.length === 0) lengths(shown, mark.shape === "patch", tool.is === "hand" && moves.length === 0);
      if (tool.is === "hand") {
        if (shown.length <= HANDLES && mark.shape !== "spot") {
          for (const corner of shown) put(new Spot(corner), handle("corner"));
          for (const middle of middles(mark.shape, shown)) put(new Spot(middle.at), handle("middle"));
        }
        put(new Spot(grip(mark.shape, shown)), handle("whole"));
      }
    }
    if (tool.is !== "hand") {
      const live = press?.is === "box" && at !== null ? box(press.from, at) : press?.is === "stroke" ? press.points : at === null ? points : [...points, at];
      const patch = tool.is === "draw" && tool.shape === "patch";
      if (live.length > 1) {
        const shape = patch && live.length > 2 ? "patch" : "line";
        put(geometryOf(shape, live), draft(patch));
        if (press?.is !== "stroke") lengths(live, patch && press?.is === "box");
      }
      for (const corner of points) put(new Spot(corner), handle("drawn"));
      if (patch && points.length > 2) put(new Spot(points[0] as Point), atFirst());
    }
    for (const line of guides) put(new LineString(line), guide());
    if (at !== null && (tool.is !== "hand" || press !== null)) put(new Spot(at), snapSign(by));
    top.clear(true);
    top.addFeatures(all);
  }

  /** Middles of sides long enough to be taken by a finger. */
  function middles(shape: Shape, shown: readonly Point[]): { at: Point; after: number }[] {
    return sides(shown, shape === "patch")
      .map((side, after) => ({ side, after }))
      .filter(({ side }) => distance(...side) / resolution() > 130)
      .map(({ side: [a, b], after }) => ({ at: [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2], after }));
  }

  /** Where a whole mark is taken: beside its middle, so that no corner hides there. */
  function grip(shape: Shape, shown: readonly Point[]): Point {
    if (shape === "spot") return shown[0] ?? [0, 0];
    if (shape === "patch") return centre(shown);
    const half = shown[Math.floor((shown.length - 1) / 2)] ?? [0, 0];
    const next = shown[Math.floor((shown.length - 1) / 2) + 1] ?? half;
    // Off the line's middle, where a corner is put in.
    return plus(half, [(next[0] - half[0]) * 0.25, (next[1] - half[1]) * 0.25]);
  }

  /** Corners of other areas and walls at the same place go along. */
  function together(mark: Mark, corner: number): { mark: Mark; at: number }[] {
    const place = mark.points[corner] as Point;
    const goes = (one: Mark): boolean => one.kind === "zone" || one.kind === "wall";
    if (!goes(mark)) return [{ mark, at: corner }];
    const others = near(place, 1e-3)
      .filter((one) => goes(one) && one.thing !== mark.thing)
      .flatMap((one) => one.points.flatMap((point, index) => (same(point, place, 1e-3) ? [{ mark: one, at: index }] : [])));
    return [{ mark, at: corner }, ...others];
  }

  function begin(place: Point, reach: number): boolean {
    if (tool.is === "two" || (tool.is === "draw" && (tool.way === "corners" || tool.shape === "spot"))) {
      press = { is: "point" };
      hover(place, reach);
      return true;
    }
    if (tool.is === "draw") {
      const start = snap(place, reach, {});
      press = tool.way === "box" ? { is: "box", from: start.at } : { is: "stroke", points: [start.at] };
      at = start.at;
      by = start.by;
      tell();
      return true;
    }
    const mark = chosen === null ? undefined : marks.get(chosen);
    if (mark === undefined) return false;
    const [whole, corner] = [grip(mark.shape, mark.points), nearestCorner(mark, place)];
    const toWhole = distance(whole, place);
    if (mark.points.length <= HANDLES && mark.shape !== "spot") {
      const between = middles(mark.shape, mark.points).find((one) => distance(one.at, place) <= reach);
      if (corner !== null && corner.away <= reach && corner.away <= toWhole) {
        press = { is: "corner", mark, at: corner.at, moved: [], away: false };
        return true;
      }
      if (between !== undefined && distance(between.at, place) < toWhole) {
        const cut = [...mark.points.slice(0, between.after + 1), between.at, ...mark.points.slice(between.after + 1)];
        press = { is: "corner", mark: { ...mark, points: cut }, at: between.after + 1, moved: [], away: false };
        return true;
      }
    }
    if (toWhole <= reach * 1.3) {
      press = { is: "whole", mark, from: place, moved: [], away: false };
      return true;
    }
    return false;
  }

  function nearestCorner(mark: Mark, place: Point): { at: number; away: number } | null {
    let best: { at: number; away: number } | null = null;
    mark.points.forEach((corner, index) => {
      const away = distance(corner, place);
      if (best === null || away < best.away) best = { at: index, away };
    });
    return best;
  }

  function hover(place: Point, reach: number): void {
    const to = snap(place, reach, { drawn: points });
    ({ at, by, guides } = to);
    tell();
  }

  function drag(place: Point, reach: number): void {
    switch (press?.is) {
      case "point":
        hover(place, reach);
        return;
      case "stroke": {
        const last = press.points[press.points.length - 1] as Point;
        at = place;
        by = null;
        if (distance(last, place) > STROKE * resolution()) press.points.push(place);
        tell();
        return;
      }
      case "box":
        ({ at, by } = snap(place, reach, {}));
        tell();
        return;
      case "corner": {
        const { mark, at: corner } = press;
        press.away = true;
        const linked = together(mark, corner);
        const count = mark.points.length;
        const beside = [corner - 1, corner + 1]
          .filter((index) => mark.shape === "patch" || (index >= 0 && index < count))
          .map((index) => mark.points[(index + count) % count] as Point);
        const own = (other: Mark, index: number): boolean => linked.some((one) => one.mark.thing === other.thing && (one.at === index || other.thing === mark.thing));
        ({ at, by, guides } = snap(place, reach, { beside, without: own }));
        const to = at;
        const things = [...new Set(linked.map((one) => one.mark))];
        press.moved = things.map((one) => ({
          thing: one.thing,
          points: one.points.map((point, index) => (linked.some((link) => link.mark === one && link.at === index) ? to : point)),
        }));
        told.sketched({ points: press.moved[0]?.points ?? [], at: null, by, closed: mark.shape === "patch" });
        redraw();
        return;
      }
      case "whole": {
        const { mark, from } = press;
        press.away = true;
        let by_: Point = minus(place, from);
        by = null;
        at = null;
        if (mark.points.length <= HANDLES) {
          // The corner that comes nearest to something is drawn to it.
          let least = reach;
          for (const corner of mark.points) {
            const free = plus(corner, minus(place, from));
            const to = snap(free, reach, { without: (other) => other.thing === mark.thing });
            if (to.by !== null && distance(to.at, free) < least) {
              least = distance(to.at, free);
              by_ = minus(to.at, corner);
              ({ at, by } = to);
            }
          }
        }
        press.moved = [{ thing: mark.thing, points: mark.points.map((corner) => plus(corner, by_)) }];
        redraw();
        return;
      }
    }
  }

  function release(place: Point, reach: number): void {
    const was = press;
    press = null;
    switch (was?.is) {
      case "point":
        hover(place, reach);
        if (at !== null) place = at;
        take(place);
        return;
      case "stroke": {
        at = null;
        const patch = tool.is === "draw" && tool.shape === "patch";
        const kept = tidy(simplified(was.points, STROKE * resolution()), patch);
        const line = patch ? untangled(kept) : kept;
        const last = line[line.length - 1];
        if (last !== undefined && line.length > 1 && !patch) line[line.length - 1] = snap(last, reach, {}).at;
        const enough = patch ? line.length > 2 : line.length > 1;
        if (enough && tool.is === "draw") {
          done(tool.shape, line);
        } else {
          tell();
        }
        return;
      }
      case "box": {
        const corners = at === null ? [] : box(was.from, at);
        at = null;
        const [a, , c] = corners;
        if (a !== undefined && c !== undefined && Math.min(Math.abs(c[0] - a[0]), Math.abs(c[1] - a[1])) > 4 * resolution()) {
          done("patch", corners);
        } else {
          tell();
        }
        return;
      }
      case "corner":
      case "whole":
        guides = [];
        at = null;
        told.sketched(null);
        if (was.away && was.moved.length > 0) told.moved(was.moved, was.is);
        redraw();
        return;
    }
  }

  /** A corner is touched. */
  function take(place: Point): void {
    if (tool.is === "two") {
      const first = points[0];
      if (first === undefined) {
        points = [place];
      } else if (!same(first, place)) {
        points = [];
        at = null;
        guides = [];
        told.two(first, place);
      }
      tell();
      return;
    }
    if (tool.is !== "draw") return;
    if (tool.shape === "spot") {
      done("spot", [place]);
      return;
    }
    const last = points[points.length - 1];
    // Touched where the last corner is, or where the first is: this was the last.
    if (closes(place) || (last !== undefined && distance(last, place) < 6 * resolution() && points.length > (tool.shape === "patch" ? 2 : 1))) {
      finish();
      return;
    }
    if (last === undefined || !same(last, place)) points = [...points, place];
    tell();
  }

  function done(shape: Shape, drawnPoints: Point[]): void {
    clear();
    tell();
    told.drawn(shape, drawnPoints);
  }

  function clear(): void {
    points = [];
    at = null;
    by = null;
    guides = [];
    press = null;
  }

  function finish(): boolean {
    if (tool.is !== "draw") return false;
    const enough = tool.shape === "patch" ? points.length > 2 : points.length > 1;
    if (enough) done(tool.shape, points);
    return enough;
  }

  class Pen extends Interaction {
    override handleEvent(event: MapBrowserEvent): boolean {
      const original = event.originalEvent as PointerEvent;
      const reach = (isFinger(original) ? FINGER : POINTER) * resolution();
      const place = event.coordinate as Point;
      switch (event.type) {
        case "pointerdown": {
          if ((event.activePointers?.length ?? 1) > 1) {
            // A second finger means to pan: what the first began is nothing.
            if (press !== null) {
              press = null;
              at = null;
              guides = [];
              glass.at(null);
              tell();
            }
            return true;
          }
          taken = false;
          looked = true;
          if (original.button !== 0 || spaceDown) return true;
          const own = begin(place, reach);
          taken = own;
          if (own) this.magnify(event);
          return !own;
        }
        case "pointerdrag":
          if (press === null) return true;
          drag(place, reach);
          this.magnify(event);
          return false;
        case "pointerup": {
          glass.at(null);
          if (press === null) return true;
          if (original.type === "pointercancel") {
            clear();
            tell();
          } else {
            release(place, reach);
            // A finger that is gone is nowhere.
            if (isFinger(original) && at !== null) {
              at = null;
              guides = [];
              tell();
            }
          }
          return false;
        }
        case "pointermove":
          if (!event.dragging && press === null && tool.is !== "hand" && original.pointerType === "mouse") hover(place, reach);
          return true;
        case "click":
          if (tool.is === "hand" && !taken) touch(place, reach);
          return tool.is === "hand";
        default:
          return true;
      }
    }

    private magnify(event: MapBrowserEvent): void {
      if ((event.originalEvent as PointerEvent).pointerType === "mouse") return;
      const snappedTo = at === null ? event.pixel : map.getPixelFromCoordinate(at);
      glass.at(snappedTo ?? event.pixel, event.pixel);
    }
  }

  function touch(place: Point, reach: number): void {
    if (proposals.length > 0) {
      const hit = proposals
        .map(({ line }, index) => ({ index, away: distance(nearestOn(line, place), place) }))
        .sort((a, b) => a.away - b.away)[0];
      if (hit !== undefined && hit.away <= reach) told.proposal(hit.index);
      return;
    }
    const found = underFinger(near(place, reach), place, reach);
    // A second touch at the same place means what lies below.
    const again = lastTouch !== null && distance(lastTouch.at, place) < reach;
    const turn = again && lastTouch !== null && found.length > 0 ? (lastTouch.turn + 1) % found.length : 0;
    lastTouch = { at: place, turn };
    told.touched(found[turn]?.thing ?? null);
  }

  const nearestOn = (line: Segment, place: Point): Point => {
    const way = minus(line[1], line[0]);
    const squared = way[0] ** 2 + way[1] ** 2;
    const along = squared === 0 ? 0 : ((place[0] - line[0][0]) * way[0] + (place[1] - line[0][1]) * way[1]) / squared;
    return plus(line[0], [way[0] * Math.min(1, Math.max(0, along)), way[1] * Math.min(1, Math.max(0, along))]);
  };

  const pans = (event: MapBrowserEvent): boolean =>
    tool.is === "hand" || (event.activePointers?.length ?? 1) > 1 || (event.originalEvent as PointerEvent).button === 1 || spaceDown;

  const map = new OlMap({
    layers: [ground, layer, topLayer],
    view,
    interactions: [
      new DragPan({ condition: pans }),
      new PinchZoom(),
      new MouseWheelZoom({ useAnchor: true }),
      new KeyboardPan({ pixelDelta: 96 }),
      new KeyboardZoom(),
      new Pen(),
    ],
    controls: controls({ attribution: false, zoom: false, rotate: false }).extend([
      new ScaleLine({ units: unit === "ft" ? "us" : "metric", minWidth: 90 }),
    ]),
  });
  const glass = magnifier(map, target);
  const quiet = matchMedia("(prefers-reduced-motion: reduce)").matches ? 0 : 250;

  const space = (event: KeyboardEvent): void => {
    if (event.code === "Space") spaceDown = event.type === "keydown" && event.target === target;
  };
  addEventListener("keydown", space);
  addEventListener("keyup", space);

  const whole = (): void => {
    const extent = source.getExtent();
    const shown = extent === null || isEmpty(extent) ? EMPTY_PLAN[unit] : extent;
    // On a tall screen the plan stands below the buttons, on a wide one beside them.
    const tall = target.clientHeight > target.clientWidth * 1.2;
    view.fit(shown, { padding: tall ? [215, 28, 60, 28] : [36, 92, 56, 36], minResolution: 0.004, duration: 0 });
  };

  let laid: [number, number] | null = null;
  let looked = false;
  let lookedAt: { points: readonly Point[]; until: number } | null = null;
  const seen = new ResizeObserver(() => {
    const [width, height] = [target.clientWidth, target.clientHeight];
    if (width === 0 || height === 0) return;
    if (laid === null) {
      map.setTarget(target);
      map.updateSize();
      laid = [width, height];
      if (!looked) whole();
      return;
    }
    if (lookedAt !== null && performance.now() < lookedAt.until) {
      // What is being shown goes on being shown in the room that is left.
      laid = [width, height];
      map.updateSize();
      look(lookedAt.points, 0);
      return;
    }
    view.cancelAnimations();
    const center = view.getCenter();
    const [wide, high] = laid;
    laid = [width, height];
    map.updateSize();
    if (!looked) {
      whole();
      return;
    }
    // A sheet that grows a little moves nothing: the upper left corner stays where it is. One that
    // opens leaves in the middle what was there.
    if (center !== undefined && Math.abs(height - high) < 0.3 * high) {
      view.setCenter([
        (center[0] ?? 0) + ((width - wide) / 2) * resolution(),
        (center[1] ?? 0) - ((height - high) / 2) * resolution(),
      ]);
    }
  });
  seen.observe(target);
  // Which sides carry their length hangs on how large they are.
  view.on("change:resolution", redraw);

  const look = (shown: readonly Point[], duration: number): void => {
    if (shown.length === 0 || laid === null) return;
    looked = true;
    lookedAt = { points: shown, until: performance.now() + 700 };
    view.cancelAnimations();
    const high = Math.min(90, target.clientHeight * 0.16);
    view.fit(new LineString([...shown, shown[0] as Point]).getExtent(), { padding: [high, 100, high, 50], minResolution: 0.01, duration });
  };

  return {
    show(all) {
      const first = marks.size === 0;
      const left = new Set(marks.keys());
      const fresh: Feature[] = [];
      for (const mark of all) {
        left.delete(mark.thing);
        if (marks.get(mark.thing) === mark) continue;
        marks.set(mark.thing, mark);
        const geometry = geometryOf(mark.shape, mark.points);
        const [west = 0, south = 0, east = 0, north = 0] = geometry.getExtent();
        const known = features.get(mark.thing);
        const called = mark.properties["name"];
        const letter = mark.kind === "zone" ? String(called === undefined || called === "" ? mark.name : called).slice(0, 18) : "";
        const feature = known ?? new Feature();
        feature.setProperties(
          { kind: lookOf(mark.kind), letter, extent: mark.shape === "spot" ? Infinity : Math.max(east - west, north - south), geometry },
          known === undefined,
        );
        if (known === undefined) {
          feature.setId(mark.thing);
          features.set(mark.thing, feature);
          fresh.push(feature);
        }
      }
      for (const gone of left) {
        const feature = features.get(gone);
        if (feature !== undefined) source.removeFeature(feature);
        features.delete(gone);
        marks.delete(gone);
      }
      source.addFeatures(fresh);
      if (first && fresh.length > 0 && laid !== null && !looked) whole();
      if (chosen !== null && !marks.has(chosen)) chosen = null;
      redraw();
    },
    tool(next) {
      tool = next;
      clear();
      tell();
      target.classList.toggle("draws", next.is !== "hand");
    },
    choose(thing, lookAt) {
      chosen = thing;
      const mark = thing === null ? undefined : marks.get(thing);
      if (lookAt && mark !== undefined) look(mark.points, quiet);
      redraw();
    },
    look: (shown) => look(shown, quiet),
    snapping(on) {
      snapOn = on;
    },
    length(value) {
      showLength = value;
    },
    pin(shown) {
      pinned = shown;
      redraw();
    },
    propose(lines) {
      proposals = lines;
      redraw();
    },
    trace(traced) {
      ground.traced = traced;
      ground.changed();
      layer.changed();
    },
    add(point) {
      if (tool.is !== "draw") return;
      take(point);
      const pixel = map.getPixelFromCoordinate(point);
      const [wide = 0, high = 0] = map.getSize() ?? [];
      const [x = 0, y = 0] = pixel ?? [];
      if (x < 30 || y < 30 || x > wide - 90 || y > high - 30) look([...points, point], quiet);
    },
    back() {
      points = points.slice(0, -1);
      at = null;
      tell();
    },
    finish,
    cancel() {
      clear();
      tell();
    },
    zoom(change) {
      looked = true;
      view.animate({ zoom: (view.getZoom() ?? 0) + change, duration: quiet });
    },
    whole,
    middle: () => (view.getCenter() ?? [0, 0]) as Point,
    perPixel: resolution,
    end() {
      seen.disconnect();
      glass.end();
      removeEventListener("keydown", space);
      removeEventListener("keyup", space);
      map.setTarget(undefined);
    },
  };
}
