/** What lies under a finger, larger, beside it. */

import type OlMap from "ol/Map";

const SIZE = 150;
const TIMES = 2.5;
/** From the finger to the middle of the glass. */
const ASIDE = 125;

export interface Magnifier {
  /** Shows what is at a place of the map, in its pixels; `null` puts it away. */
  at(pixel: number[] | null, finger?: number[]): void;
  end(): void;
}

export function magnifier(map: OlMap, into: HTMLElement): Magnifier {
  const glass = document.createElement("canvas");
  const ratio = Math.min(devicePixelRatio, 2);
  glass.width = glass.height = SIZE * ratio;
  glass.className = "glass";
  glass.hidden = true;
  glass.setAttribute("aria-hidden", "true");
  into.append(glass);
  const pen = glass.getContext("2d");
  let shown: number[] | null = null;

  const draw = () => {
    if (shown === null || pen === null) {
      return;
    }
    const [x = 0, y = 0] = shown;
    pen.setTransform(1, 0, 0, 1, 0, 0);
    pen.fillStyle = "#eceee9";
    pen.fillRect(0, 0, glass.width, glass.height);
    const scale = TIMES * ratio;
    for (const canvas of into.querySelectorAll<HTMLCanvasElement>(".ol-layers canvas")) {
      // Layers may be drawn small and moved by the browser: the glass follows.
      const moved = canvas.style.transform === "" ? new DOMMatrix() : new DOMMatrix(canvas.style.transform);
      const own = canvas.style.transform === "" ? new DOMMatrix([canvas.clientWidth / canvas.width || 1, 0, 0, canvas.clientHeight / canvas.height || 1, 0, 0]) : moved;
      const to = new DOMMatrix([scale, 0, 0, scale, glass.width / 2 - x * scale, glass.height / 2 - y * scale]);
      pen.setTransform(to.multiply(own));
      pen.drawImage(canvas, 0, 0);
    }
    pen.setTransform(ratio, 0, 0, ratio, 0, 0);
    const half = SIZE / 2;
    const line = (width: number, colour: string) => {
      pen.lineWidth = width;
      pen.strokeStyle = colour;
      pen.beginPath();
      for (const [from, to] of [[half - 30, half - 7], [half + 7, half + 30]] as const) {
        pen.moveTo(from, half);
        pen.lineTo(to, half);
        pen.moveTo(half, from);
        pen.lineTo(half, to);
      }
      pen.stroke();
    };
    line(5, "#fdfcf8");
    line(2.5, "#14181a");
  };

  map.on("postrender", draw);
  return {
    at(pixel, finger = pixel ?? [0, 0]) {
      shown = pixel;
      glass.hidden = pixel === null;
      if (pixel === null) {
        return;
      }
      const [x = 0, y = 0] = finger;
      const wide = into.clientWidth;
      const half = SIZE / 2;
      // Above the finger; below its own height it goes to the side that has more room.
      const above = y - ASIDE - half >= 0;
      const left = above ? x : x > wide / 2 ? x - ASIDE - 20 : x + ASIDE + 20;
      const top = above ? y - ASIDE : Math.max(y - 40, half);
      glass.style.left = `${Math.min(Math.max(left, half), wide - half) - half}px`;
      glass.style.top = `${top - half}px`;
      map.render();
    },
    end() {
      map.un("postrender", draw);
      glass.remove();
    },
  };
}
