import { readFileSync } from "node:fs";
import { join } from "node:path";

import { expect, test } from "vitest";

import { Ear, type Heard, wav } from "../src/sounding/hear";
import { listOf, places, told } from "../src/sounding/walk";

const RATE = 48_000;

function noise(seed: number): () => number {
  let state = seed;
  return () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return state / 2 ** 31 - 1;
  };
}

/** Blows at given seconds: rings that die away, over noise and hum. */
function blows(times: number[], loud: number[], seconds: number, hiss: number): Float32Array {
  const random = noise(7);
  const out = Float32Array.from({ length: seconds * RATE }, (_, at) => hiss * random() + 0.02 * Math.sin((2 * Math.PI * 50 * at) / RATE));
  times.forEach((time, number) => {
    const from = Math.round(time * RATE);
    for (let step = 0; step < 0.12 * RATE && from + step < out.length; step += 1) {
      const ring = Math.sin((2 * Math.PI * 2600 * step) / RATE) + 0.6 * Math.sin((2 * Math.PI * 4100 * step) / RATE);
      out[from + step]! += (loud[number] ?? 0.3) * Math.exp(-step / RATE / 0.012) * ring;
    }
  });
  return out;
}

function heard(samples: Float32Array, piece: number): Heard[] {
  const ear = new Ear(RATE);
  const all: Heard[] = [];
  for (let at = 0; at < samples.length; at += piece) {
    all.push(...ear.hear(samples.subarray(at, at + piece)));
  }
  return all;
}

test("every blow is heard once, whatever the pieces, over noise and hum", () => {
  const times = Array.from({ length: 40 }, (_, number) => 0.6 + number * 0.7 + (number % 3) * 0.05);
  const loud = times.map((_, number) => 0.15 + 0.5 * ((number * 7) % 5) / 5);
  const samples = blows(times, loud, 30, 0.004);
  for (const piece of [1024, 333, 4096]) {
    const all = heard(samples, piece);
    expect(all.map(({ time }) => Math.round(time * 50))).toEqual(times.map((time) => Math.round((Math.floor(time / 0.004) * 0.004) * 50)));
  }
});

test("a bounce is no second tap, and a silent room has none", () => {
  expect(heard(blows([1, 1.06, 1.11, 3], [0.5, 0.2, 0.1, 0.5], 5, 0.003), 1024)).toHaveLength(2);
  expect(heard(blows([], [], 10, 0.006), 1024)).toHaveLength(0);
});

test("cut-off samples are counted", () => {
  const ear = new Ear(RATE);
  ear.hear(Float32Array.from([0.2, 1, -1, 0.99, 0.5]));
  expect(ear.cutOff).toBe(3);
  expect(ear.level).toBe(1);
});

/** The demo's invented recording: as many taps as its list has, each heard. */
test("the taps of the demo's recording are as many as its list has", () => {
  const bytes = readFileSync(join(process.cwd(), "../demo/sounding/cafe-bay.wav"));
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  expect(view.getUint16(22, true)).toBe(1);
  const [rate, bits] = [view.getUint32(24, true), view.getUint16(34, true)];
  expect(bits).toBe(16);
  let at = 12;
  while (view.getUint32(at, false) !== 0x64617461) {
    at += 8 + view.getUint32(at + 4, true);
  }
  const samples = Float32Array.from({ length: view.getUint32(at + 4, true) / 2 }, (_, number) => view.getInt16(at + 8 + 2 * number, true) / 32768);
  const ear = new Ear(rate);
  const all = ear.hear(samples);
  const list = readFileSync(join(process.cwd(), "../demo/sounding/cafe-bay.csv"), "utf8").trim().split("\n");
  expect(Math.abs(all.length - (list.length - 1))).toBeLessThanOrEqual(1);
});

test("a recording is written as the program reads it", async () => {
  const blob = wav([Float32Array.from([0, 0.5]), Float32Array.from([-1])], 44_100);
  const view = new DataView(await blob.arrayBuffer());
  expect(view.byteLength).toBe(50);
  expect(view.getUint32(24, true)).toBe(44_100);
  expect([0, 2, 4].map((at) => view.getInt16(44 + at, true))).toEqual([0, 16384, -32767]);
});

test("the walk turns at the ends of rows, stays inside and goes round what stands there", () => {
  const room: [number, number][] = [[0, 0], [4, 0], [4, 2], [0, 2]];
  const grid = { start: "near-left", along: true, pitch: 1, turning: true } as const;
  expect(places(room, [], grid)).toEqual([[0.5, 0.5], [1.5, 0.5], [2.5, 0.5], [3.5, 0.5], [3.5, 1.5], [2.5, 1.5], [1.5, 1.5], [0.5, 1.5]]);
  const column: [number, number][] = [[1.2, 0.2], [1.8, 0.2], [1.8, 0.8], [1.2, 0.8]];
  expect(places(room, [column], { ...grid, start: "far-right", along: false })).toEqual([[3.5, 1.5], [3.5, 0.5], [2.5, 0.5], [2.5, 1.5], [1.5, 1.5], [0.5, 0.5], [0.5, 1.5]]);
});

test("the list holds every tap, and one is told anew by ear", () => {
  const list = listOf([{ place: 1, time: 2.5, known: "sound" }, { place: 0, time: 3.25, known: null }], [[0.5, 0.5], [1.5, 0.5]], "ft");
  expect(list).toBe("tap,x_ft,y_ft,known,time_s\n0,1.5,0.5,sound,2.500\n1,0.5,0.5,,3.250\n");
  expect(told(list, 1, "hollow")).toContain("1,0.5,0.5,hollow,3.250");
  expect(told("tap\n4\n5\n", 5, "sound")).toBe("tap,known\n4,\n5,sound\n");
  expect(told(list, 9, "sound")).toBeNull();
});
