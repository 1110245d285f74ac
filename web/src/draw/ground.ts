/** What lies under the marks: a grid that gives an empty plan its scale, and a picture to trace. */

import type { FrameState } from "ol/Map";
import Layer from "ol/layer/Layer";

import type { PlanUnit } from "./measure";
import type { Point } from "./shapes";

/** A picture on the plan: where its upper left corner lies, how large a pixel is, how far it is turned. */
export interface Traced {
  picture: CanvasImageSource;
  width: number;
  height: number;
  at: Point;
  /** Of the plan's units. */
  pixel: number;
  /** Against the clock, in radians. */
  turned: number;
}

const PITCHES: Record<PlanUnit, readonly number[]> = {
  ft: [1 / 12, 0.5, 1, 5, 10, 50, 100, 500, 1000],
  m: [0.01, 0.1, 0.5, 1, 5, 10, 50, 100, 500],
};

/** Lines of the grid are at least so far apart. */
const APART = 26;

export class Ground extends Layer {
  traced: Traced | null = null;
  private readonly canvas = document.createElement("canvas");
  private readonly pen = this.canvas.getContext("2d");

  constructor(private readonly unit: PlanUnit) {
    super({});
    this.canvas.style.position = "absolute";
  }

  override render(frame: FrameState | null): HTMLElement {
    const pen = this.pen;
    if (frame === null || pen === null) {
      return this.canvas;
    }
    const [wide = 0, high = 0] = frame.size;
    const ratio = frame.pixelRatio;
    const [width, height] = [Math.round(wide * ratio), Math.round(high * ratio)];
    if (this.canvas.width !== width || this.canvas.height !== height) {
      this.canvas.width = width;
      this.canvas.height = height;
      this.canvas.style.width = `${wide}px`;
      this.canvas.style.height = `${high}px`;
    }
    const { resolution, center } = frame.viewState;
    const [x = 0, y = 0] = center;
    const left = x - (wide / 2) * resolution;
    const top = y + (high / 2) * resolution;
    pen.setTransform(1, 0, 0, 1, 0, 0);
    pen.clearRect(0, 0, width, height);
    pen.setTransform(ratio, 0, 0, ratio, 0, 0);
    this.grid(pen, left, top, wide, high, resolution);
    if (this.traced !== null) {
      const { picture, at, pixel, turned } = this.traced;
      pen.save();
      pen.translate((at[0] - left) / resolution, (top - at[1]) / resolution);
      pen.rotate(-turned);
      pen.scale(pixel / resolution, pixel / resolution);
      pen.drawImage(picture, 0, 0);
      pen.restore();
    }
    return this.canvas;
  }

  private grid(pen: CanvasRenderingContext2D, left: number, top: number, wide: number, high: number, resolution: number): void {
    const pitches = PITCHES[this.unit];
    const pitch = pitches.find((one) => one / resolution >= APART);
    if (pitch === undefined) {
      return;
    }
    const heavy = pitches.find((one) => one >= pitch * 4.9) ?? pitch * 5;
    const lines = (every: number, colour: string) => {
      pen.strokeStyle = colour;
      pen.lineWidth = 1;
      pen.beginPath();
      for (let at = Math.ceil(left / every) * every; at < left + wide * resolution; at += every) {
        const x = Math.round((at - left) / resolution) + 0.5;
        pen.moveTo(x, 0);
        pen.lineTo(x, high);
      }
      for (let at = Math.floor(top / every) * every; at > top - high * resolution; at -= every) {
        const y = Math.round((top - at) / resolution) + 0.5;
        pen.moveTo(0, y);
        pen.lineTo(wide, y);
      }
      pen.stroke();
    };
    lines(pitch, "#dfe2db");
    lines(heavy, "#c3c8c0");
  }
}
