/** How what is drawn just now looks: ink on paper, told apart by shape. Styles are made once. */

import type { FeatureLike } from "ol/Feature";
import { Circle, Fill, RegularShape, Stroke, Style, Text } from "ol/style";

import { INK, PAPER } from "../plan/draw";
import { kindOf } from "../plan/kinds";
import type { SnappedBy } from "./snap";

const YELLOW = "#ffd21f";
const ink = new Fill({ color: INK });
const paper = new Fill({ color: PAPER });
const yellow = new Fill({ color: YELLOW });

const smallOnes = new Map<string, Style>();

/** A mark too small to be told apart: a stroke of its weight, without hatching. */
export function small(feature: FeatureLike): Style {
  const kind = String(feature.get("kind"));
  const known = smallOnes.get(kind) ?? new Style({ stroke: new Stroke({ color: INK, width: Math.min(kindOf(kind).width, 3) }), zIndex: 3 });
  smallOnes.set(kind, known);
  return known;
}

const areas = new Map<string, Style[]>();

/** An area with its name, as large as leaves the marks in it to be seen; without where it does not fit. */
export function area(feature: FeatureLike, traced: boolean): Style[] {
  const name = String(feature.get("letter"));
  const key = `${traced} ${name}`;
  const outline = new Style({ stroke: new Stroke({ color: INK, width: 3 }), zIndex: 1 });
  // What is traced must show through.
  if (!traced) outline.setFill(paper);
  const known = areas.get(key) ?? [
    outline,
    new Style({
      text: new Text({
        text: name,
        font: "bold 17px 'Atkinson Hyperlegible Next', sans-serif",
        fill: ink,
        stroke: new Stroke({ color: PAPER, width: 5 }),
      }),
      zIndex: 20,
    }),
  ];
  areas.set(key, known);
  return known;
}

const DRAFT_PATCH = [
  new Style({ stroke: new Stroke({ color: PAPER, width: 8 }), fill: new Fill({ color: "rgba(255, 210, 31, 0.3)" }), zIndex: 30 }),
  new Style({ stroke: new Stroke({ color: INK, width: 4 }), zIndex: 31 }),
];
const DRAFT_LINE = [
  new Style({ stroke: new Stroke({ color: YELLOW, width: 12 }), zIndex: 30 }),
  new Style({ stroke: new Stroke({ color: INK, width: 4 }), zIndex: 31 }),
];
export const draft = (patch: boolean): Style[] => (patch ? DRAFT_PATCH : DRAFT_LINE);

const bandOf = (full: boolean): Style[] => [
  new Style({ stroke: new Stroke({ color: INK, width: full ? 13 : 7 }), image: new Circle({ radius: 20, fill: ink }), zIndex: 9 }),
  new Style({
    stroke: new Stroke({ color: full ? YELLOW : PAPER, width: full ? 9 : 4 }),
    image: new Circle({ radius: 17, fill: yellow }),
    zIndex: 10,
  }),
  new Style({ stroke: new Stroke({ color: INK, width: 2.5 }), zIndex: 11 }),
];
const BANDS = [bandOf(false), bandOf(true)] as const;
/** The chosen mark, and what goes along with it. */
export const band = (full: boolean): Style[] => BANDS[full ? 1 : 0];

const HANDLES: Record<"corner" | "middle" | "whole" | "drawn", Style[]> = {
  corner: [new Style({ image: new RegularShape({ points: 4, radius: 15, angle: Math.PI / 4, fill: paper, stroke: new Stroke({ color: INK, width: 3.5 }) }), zIndex: 41 })],
  middle: [
    new Style({ image: new Circle({ radius: 10, fill: paper, stroke: new Stroke({ color: INK, width: 2 }) }), zIndex: 40 }),
    new Style({ image: new RegularShape({ points: 4, radius: 6, radius2: 0, stroke: new Stroke({ color: INK, width: 2 }) }), zIndex: 40 }),
  ],
  whole: [
    new Style({ image: new Circle({ radius: 21, fill: yellow, stroke: new Stroke({ color: INK, width: 3.5 }) }), zIndex: 42 }),
    new Style({ text: new Text({ text: "✥", font: "bold 24px sans-serif", fill: ink }), zIndex: 43 }),
  ],
  drawn: [new Style({ image: new Circle({ radius: 6, fill: paper, stroke: new Stroke({ color: INK, width: 3 }) }), zIndex: 40 })],
};
export const handle = (which: keyof typeof HANDLES): Style[] => HANDLES[which];

const FIRST = [new Style({ image: new Circle({ radius: 15, stroke: new Stroke({ color: INK, width: 3, lineDash: [5, 4] }) }), zIndex: 40 })];
/** The first corner, where a touch closes. */
export const atFirst = (): Style[] => FIRST;

const GUIDE = [new Style({ stroke: new Stroke({ color: INK, width: 1.5, lineDash: [3, 5] }), zIndex: 35 })];
export const guide = (): Style[] => GUIDE;

const sign = (image: Circle | RegularShape): Style[] => [new Style({ image, zIndex: 50 })];
const stroke = new Stroke({ color: INK, width: 3 });
const SIGNS: Record<SnappedBy | "free", Style[]> = {
  corner: sign(new RegularShape({ points: 4, radius: 14, angle: Math.PI / 4, stroke })),
  edge: sign(new RegularShape({ points: 3, radius: 14, stroke })),
  square: sign(new RegularShape({ points: 4, radius: 13, stroke })),
  axis: sign(new RegularShape({ points: 4, radius: 13, radius2: 0, stroke })),
  free: sign(new Circle({ radius: 6, stroke })),
};
export const snapSign = (by: SnappedBy | null): Style[] => SIGNS[by ?? "free"];

export const label = (text: string): Style[] => [
  new Style({
    text: new Text({
      text,
      font: "bold 16px 'Atkinson Hyperlegible Next', sans-serif",
      placement: "point",
      fill: ink,
      backgroundFill: paper,
      backgroundStroke: new Stroke({ color: INK, width: 1.5 }),
      padding: [3, 5, 1, 5],
      overflow: true,
    }),
    zIndex: 45,
  }),
];

/** A wall that is proposed: full where it will stand, dashed and thin where the side is open. */
export const proposed = (taken: boolean, number: number): Style[] => [
  new Style({ stroke: new Stroke({ color: taken ? INK : PAPER, width: taken ? 13 : 9 }), zIndex: 36 }),
  new Style({ stroke: new Stroke({ color: taken ? YELLOW : INK, width: taken ? 7 : 3, lineDash: taken ? [] : [6, 10] }), zIndex: 37 }),
  new Style({
    text: new Text({
      text: String(number),
      font: "bold 17px 'Atkinson Hyperlegible Next', sans-serif",
      fill: new Fill({ color: taken ? PAPER : INK }),
      backgroundFill: taken ? ink : paper,
      backgroundStroke: new Stroke({ color: INK, width: 2 }),
      padding: [4, 7, 2, 7],
      overflow: true,
    }),
    zIndex: 46,
  }),
];
