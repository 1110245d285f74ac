/** From kinds to what OpenLayers draws. */

import type { FeatureLike } from "ol/Feature";
import { Circle, Fill, RegularShape, Stroke, Style, Text } from "ol/style";
import type ImageStyle from "ol/style/Image";

import { kindOf, type Hatch, type Kind } from "./kinds";

export const INK = "#14181a";
export const PAPER = "#fdfcf8";

const TILE = 14;

/** A hatching as a canvas pattern. */
function pattern(hatch: Hatch): CanvasPattern | string {
  const canvas = document.createElement("canvas");
  canvas.width = canvas.height = TILE;
  const pen = canvas.getContext("2d");
  if (pen === null || hatch === "none") {
    return "rgba(0, 0, 0, 0)";
  }
  pen.strokeStyle = pen.fillStyle = INK;
  pen.lineWidth = 1.6;
  const line = (x1: number, y1: number, x2: number, y2: number) => {
    pen.beginPath();
    pen.moveTo(x1, y1);
    pen.lineTo(x2, y2);
    pen.stroke();
  };
  const half = TILE / 2;
  switch (hatch) {
    case "lines":
    case "cross":
      line(-1, TILE + 1, TILE + 1, -1);
      line(-half, half, half, -half);
      line(half, TILE + half, TILE + half, half);
      if (hatch === "cross") {
        line(-1, -1, TILE + 1, TILE + 1);
      }
      break;
    case "back":
      line(-1, -1, TILE + 1, TILE + 1);
      break;
    case "dots":
      pen.beginPath();
      pen.arc(half, half, 1.8, 0, 2 * Math.PI);
      pen.fill();
      break;
    case "waves":
      pen.beginPath();
      pen.moveTo(0, half);
      pen.bezierCurveTo(TILE / 4, 0, (3 * TILE) / 4, TILE, TILE, half);
      pen.stroke();
      break;
    case "dense":
      for (let at = 0; at <= 2 * TILE; at += 4) {
        line(at, 0, at - TILE, TILE);
      }
      break;
  }
  return pen.createPattern(canvas, "repeat") ?? "rgba(0, 0, 0, 0)";
}

const patterns = new Map<Hatch, CanvasPattern | string>();

function hatched(hatch: Hatch): Fill {
  const known = patterns.get(hatch) ?? pattern(hatch);
  patterns.set(hatch, known);
  return new Fill({ color: known });
}

function symbol(kind: Kind, radius: number): ImageStyle {
  const fill = new Fill({ color: kind.full ? INK : PAPER });
  const stroke = new Stroke({ color: kind.full ? PAPER : INK, width: kind.full ? 1.5 : 2.5 });
  switch (kind.symbol) {
    case "circle":
      return new Circle({ radius, fill, stroke });
    case "triangle":
      return new RegularShape({ points: 3, radius: radius + 1, fill, stroke });
    case "diamond":
      return new RegularShape({ points: 4, radius, fill, stroke });
    case "square":
      return new RegularShape({ points: 4, radius, angle: Math.PI / 4, fill, stroke });
    case "plus":
    case "cross":
      return new RegularShape({
        points: 4,
        radius,
        radius2: 0,
        angle: kind.symbol === "cross" ? Math.PI / 4 : 0,
        stroke: new Stroke({ color: INK, width: 2.5 }),
      });
  }
}

/** The style of an object; a chosen one has a wide band round it. */
export function drawn(feature: FeatureLike, chosen: boolean): Style[] {
  const key = `${feature.get("kind")} ${feature.get("letter")} ${chosen}`;
  const known = styles.get(key) ?? made(feature, chosen);
  styles.set(key, known);
  return known;
}

/** Thousands of objects share a few dozen styles. */
const styles = new Map<string, Style[]>();

function made(feature: FeatureLike, chosen: boolean): Style[] {
  const word = String(feature.get("kind"));
  const kind = kindOf(word);
  const layers: Style[] = [];
  if (chosen) {
    layers.push(
      new Style({
        stroke: new Stroke({ color: INK, width: kind.width + 12 }),
        image: new Circle({ radius: 20, fill: new Fill({ color: INK }) }),
        zIndex: 9,
      }),
      new Style({
        stroke: new Stroke({ color: "#ffd21f", width: kind.width + 8 }),
        image: new Circle({ radius: 17, fill: new Fill({ color: "#ffd21f" }) }),
        zIndex: 10,
      }),
    );
  }
  const base = new Style({
    stroke: new Stroke({ color: INK, width: kind.width, lineDash: kind.dash }),
    image: symbol(kind, word === "reading" ? 7 : 9),
    zIndex: word === "area" ? 1 : chosen ? 11 : word === "reading" ? 4 : 3,
  });
  base.setFill(word === "area" ? new Fill({ color: PAPER }) : hatched(kind.hatch));
  if (word === "area") {
    const label = new Style({
      // Above everything: the letter is what cards and report speak of.
      zIndex: 20,
      text: new Text({
        text: String(feature.get("letter")),
        font: "bold 26px 'Atkinson Hyperlegible Next', sans-serif",
        fill: new Fill({ color: PAPER }),
        backgroundFill: new Fill({ color: INK }),
        padding: [3, 7, 1, 8],
        overflow: true,
      }),
    });
    layers.push(label);
  }
  layers.push(base);
  return layers;
}
