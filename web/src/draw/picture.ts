/** A picture to trace over: read on this device, in grey, and kept there. */

import type { Traced } from "./ground";
import { distance, minus, plus, type Point } from "./shapes";

/** More pixels than this on a side show nothing more under a finger. */
const SIDE = 3000;
/** So much of its darkness stays: what is drawn over it must stand out. */
const STAYS = 0.5;

/** The picture in grey, its darkness halved; fails where it is none. */
export async function greyed(file: Blob): Promise<{ picture: HTMLCanvasElement; width: number; height: number }> {
  const read = await createImageBitmap(file);
  const scale = Math.min(1, SIDE / Math.max(read.width, read.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(read.width * scale));
  canvas.height = Math.max(1, Math.round(read.height * scale));
  const pen = canvas.getContext("2d", { willReadFrequently: true });
  if (pen === null) {
    throw new Error("2d");
  }
  pen.drawImage(read, 0, 0, canvas.width, canvas.height);
  read.close();
  const data = pen.getImageData(0, 0, canvas.width, canvas.height);
  const all = data.data;
  for (let at = 0; at < all.length; at += 4) {
    const light = 0.299 * (all[at] ?? 0) + 0.587 * (all[at + 1] ?? 0) + 0.114 * (all[at + 2] ?? 0);
    const shown = 255 - (255 - light) * STAYS;
    all[at] = all[at + 1] = all[at + 2] = shown;
  }
  pen.putImageData(data, 0, 0);
  return { picture: canvas, width: canvas.width, height: canvas.height };
}

/** The picture so large that two touched places are as far apart as they are known to be; the first stays. */
export function calibrated(traced: Traced, one: Point, other: Point, length: number): Traced {
  const factor = length / distance(one, other);
  const [x, y] = minus(traced.at, one);
  return { ...traced, at: plus(one, [x * factor, y * factor]), pixel: traced.pixel * factor };
}

/** Turned about the first place, so that the line to the second is level or upright, whichever is nearer. */
export function levelled(traced: Traced, one: Point, other: Point): Traced {
  const [dx, dy] = minus(other, one);
  const angle = Math.atan2(dy, dx);
  const by = Math.round(angle / (Math.PI / 2)) * (Math.PI / 2) - angle;
  const [x, y] = minus(traced.at, one);
  const [c, s] = [Math.cos(by), Math.sin(by)];
  return { ...traced, at: plus(one, [x * c - y * s, x * s + y * c]), turned: traced.turned + by };
}

/** A photograph in a form that the program shows; others are written anew as JPEG. */
export async function asPhotograph(file: File, name: string): Promise<{ name: string; blob: Blob }> {
  const known: Record<string, string> = { "image/jpeg": "jpg", "image/png": "png" };
  const ending = known[file.type];
  if (ending !== undefined) {
    return { name: `${name}.${ending}`, blob: file };
  }
  const read = await createImageBitmap(file);
  const canvas = document.createElement("canvas");
  canvas.width = read.width;
  canvas.height = read.height;
  canvas.getContext("2d")?.drawImage(read, 0, 0);
  const blob = await new Promise<Blob | null>((done) => canvas.toBlob(done, "image/jpeg", 0.9));
  if (blob === null) {
    throw new Error(file.name);
  }
  return { name: `${name}.jpg`, blob };
}
