/** The slab's plan on OpenLayers: plane coordinates in metres, y upwards. */

import Feature from "ol/Feature";
import OlMap from "ol/Map";
import View from "ol/View";
import { defaults as controls, ScaleLine } from "ol/control";
import { getCenter } from "ol/extent";
import { LineString, Point, Polygon, type Geometry } from "ol/geom";
import VectorLayer from "ol/layer/Vector";
import Projection from "ol/proj/Projection";
import VectorSource from "ol/source/Vector";

import type { Drawn, PlanObject, PlanPage } from "../api/client";
import { drawn } from "./draw";

function geometry(of: Drawn): Geometry {
  switch (of.type) {
    case "spot":
      return new Point(of.coordinates_m);
    case "line":
      return new LineString(of.coordinates_m);
    case "patch":
      return new Polygon([of.coordinates_m]);
  }
}

/** The smallest thing under a finger is meant: a place, then a line, then the smaller patch. */
function rank(feature: Feature, at: number[]): [number, number] {
  const shape = feature.getGeometry();
  if (shape instanceof Point) {
    const [x = 0, y = 0] = shape.getCoordinates();
    return [0, Math.hypot(x - (at[0] ?? 0), y - (at[1] ?? 0))];
  }
  if (shape instanceof LineString) {
    return [feature.get("kind") === "wall" ? 4 : 1, shape.getLength()];
  }
  const area = shape instanceof Polygon ? shape.getArea() : Infinity;
  // A swept part lies over everything that was found in it.
  const over = feature.get("kind") === "area" ? 5 : feature.get("kind") === "sounded" ? 3 : 2;
  return [over, area];
}

export interface SlabMap {
  choose(thing: string | null, look: boolean): void;
  hide(kinds: Set<string>): void;
  zoom(by: number): void;
  whole(): void;
  end(): void;
}

/** Draws the plan into an element; tells when an object is touched. */
export function slabMap(
  target: HTMLElement,
  page: PlanPage,
  touched: (object: PlanObject) => void,
): SlabMap {
  const projection = new Projection({ code: "slab", units: "m", extent: page.extent_m });
  const objects = new Map<string, PlanObject>();
  const source = new VectorSource();
  let chosen: string | null = null;
  let hidden = new Set<string>();
  for (const object of page.objects) {
    objects.set(object.thing, object);
    const feature = new Feature({ geometry: geometry(object.drawn) });
    feature.setId(object.thing);
    feature.set("kind", object.kind);
    feature.set("letter", object.letters[0] ?? "");
    source.addFeature(feature);
  }
  const layer = new VectorLayer({
    source,
    declutter: false,
    style: (feature) =>
      hidden.has(String(feature.get("kind"))) ? [] : drawn(feature, feature.getId() === chosen),
  });
  const view = new View({
    projection,
    center: getCenter(page.extent_m),
    resolution: 0.05,
    minResolution: 0.0005,
    maxResolution: 1,
    showFullExtent: true,
    constrainOnlyCenter: true,
  });
  const map = new OlMap({
    layers: [layer],
    view,
    controls: controls({ attribution: false, zoom: false, rotate: false }).extend([
      new ScaleLine({ units: page.feet_first ? "us" : "metric", minWidth: 90 }),
    ]),
  });
  let last: { at: number[]; turn: number } | null = null;
  const quiet = matchMedia("(prefers-reduced-motion: reduce)").matches ? 0 : 250;
  const whole = () => view.fit(page.extent_m, { padding: [40, 88, 56, 40], duration: 0 });
  const lookAt = (thing: string | null, duration: number) => {
    const feature = thing === null ? null : source.getFeatureById(thing);
    const shape = feature instanceof Feature ? feature.getGeometry() : undefined;
    if (shape === undefined) {
      return;
    }
    view.set("looked", true);
    // Before there is a size to look with, the first layout looks.
    if (map.getTarget() !== undefined) {
      view.fit(shape.getExtent(), { padding: [90, 90, 90, 90], minResolution: 0.01, duration });
    }
  };
  // The element has no size before it is laid out and its styles have come.
  const seen = new ResizeObserver(() => {
    if (target.clientWidth === 0 || target.clientHeight === 0) {
      return;
    }
    const first = map.getTarget() === undefined;
    if (first) {
      map.setTarget(target);
    }
    map.updateSize();
    if (first && view.get("looked") === true) {
      lookAt(chosen, 0);
    }
    if (view.get("looked") !== true) {
      whole();
    }
  });
  seen.observe(target);
  map.on("singleclick", (event) => {
    const hits = map.getFeaturesAtPixel(event.pixel, { hitTolerance: 12 }) as Feature[];
    const known = hits.filter((hit) => !hidden.has(String(hit.get("kind"))));
    const ranked = known
      .map((hit) => ({ hit, rank: rank(hit, event.coordinate) }))
      .sort((a, b) => a.rank[0] - b.rank[0] || a.rank[1] - b.rank[1])
      .map(({ hit }) => objects.get(String(hit.getId())))
      .filter((object) => object !== undefined);
    // A second touch at the same place means what lies below.
    const near = view.getResolution() ?? 1;
    const again =
      last !== null && Math.hypot(event.coordinate[0]! - last.at[0]!, event.coordinate[1]! - last.at[1]!) < 12 * near;
    const next = again && last !== null ? (last.turn + 1) % Math.max(ranked.length, 1) : 0;
    last = { at: event.coordinate, turn: next };
    const object = ranked[next];
    if (object !== undefined) {
      touched(object);
    }
  });
  return {
    choose(thing, look) {
      chosen = thing;
      layer.changed();
      if (look) {
        lookAt(thing, quiet);
      }
    },
    hide(kinds) {
      hidden = kinds;
      layer.changed();
    },
    zoom(by) {
      view.set("looked", true);
      view.animate({ zoom: (view.getZoom() ?? 0) + by, duration: quiet });
    },
    whole,
    end() {
      seen.disconnect();
      map.setTarget(undefined);
    },
  };
}
