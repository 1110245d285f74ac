import { cleanup, fireEvent, render, screen } from "@testing-library/svelte";
import { afterEach, beforeEach, expect, test, vi } from "vitest";

import FieldsForm from "../src/forms/FieldsForm.svelte";
import { type FieldForm, type UnitAsked, allWrong, cleaned, fits, numberOf, partsOf, told, wrong, wrongMeasure } from "../src/forms/fields";
import { lengthOf, lengthTold } from "../src/forms/length";
import { areaOf, crosses, lShape, polygon, rectangle, walked } from "../src/forms/outline";
import { firstUnit, inUnit, kindIn, unusual } from "../src/survey/kinds";
import { areaAt, inside } from "../src/survey/place";
import { leftOf } from "../src/timers/timers.svelte";

const LENGTHS: UnitAsked[] = [
  { sign: "m", low: 0, high: 0.2 },
  { sign: "mm", low: 0, high: 200 },
  { sign: "in", low: 0, high: 0.2 / 0.0254 },
];
const TEMPERATURES: UnitAsked[] = [
  { sign: "C", low: -60, high: 60 },
  { sign: "F", low: -76, high: 140 },
];
const WIDTH: FieldForm = { name: "width", meaning: "Width", must: true, many: false, of: { form: "quantity", units: LENGTHS, count: 1, unit_apart: false } };
const MOVES: FieldForm = {
  name: "movement", meaning: "whether it moves", must: false, many: false,
  of: { form: "choice", usual: "unknown", choices: [{ key: "dormant", name: "still" }, { key: "active", name: "moves" }, { key: "unknown", name: "nobody knows" }] },
};

afterEach(() => {
  cleanup();
  vi.useRealTimers();
});
beforeEach(() => localStorage.clear());

test("lengths are read as people write them", () => {
  const feet: [string, number][] = [
    [`12' 6 1/2"`, 12 + 6.5 / 12], ["12 ft 6 in", 12.5], [`12'6"`, 12.5], ["12’ 6 1/2”", 12 + 6.5 / 12], ["12-6", 12.5], ["40-25", Number.NaN], ["40", 40], ["40.25", 40.25],
    ["12 ' 6", 12.5], [`6"`, 0.5], ["3.048 m", 10], ["3048mm", 10], ["1 1/2", 1.5], [`12' - 6"`, 12.5], [`3/4"`, 0.0625], ["12 ft. 6", Number.NaN],
  ];
  for (const [text, length] of feet) {
    const read = lengthOf(text, "ft");
    if (Number.isNaN(length)) expect(read, text).toBeNull();
    else expect(read, text).toBeCloseTo(length, 5);
  }
  expect(lengthOf("3,2", "m")).toBe(3.2);
  expect(lengthOf("320 cm", "m")).toBe(3.2);
  for (const text of ["", "ft", "12 x", "a", "1/0", "12''6''6"]) expect(lengthOf(text, "ft"), text).toBeNull();
  expect(lengthTold(12 + 6.5 / 12, "ft")).toBe(`12' 6 1/2"`);
  expect(lengthTold(9.99999, "ft")).toBe("10'");
  expect(lengthTold(3.81, "m")).toBe("3.81 m");
});

test("every length that is told is read again", () => {
  for (let at = 0; at < 4000; at += 7) {
    const length = at / 192;
    expect(lengthOf(lengthTold(length, "ft"), "ft")).toBeCloseTo(length, 5);
  }
});

test("outlines: rectangle, L, and walked sides", () => {
  expect(areaOf(rectangle(40, 25))).toBe(1000);
  const l = lShape(40, 25, 10, 5) ?? [];
  expect(areaOf(l)).toBe(950);
  expect(lShape(40, 25, 40, 5)).toBeNull();
  const round = walked([40, 25, 40, 25].map((length) => ({ length, turn: 90 })));
  expect([round.corners.length, areaOf(round.corners)]).toEqual([4, 1000]);
  // The last side goes straight back where it is not typed.
  const open = walked([40, 25, 40].map((length) => ({ length, turn: 90 })));
  expect([open.corners.length, areaOf(open.corners)]).toEqual([4, 1000]);
  const corner = walked([{ length: 4, turn: 90 }, { length: 2, turn: 90 }, { length: 2, turn: -90 }, { length: 2, turn: 90 }, { length: 2, turn: 90 }, { length: 4, turn: 90 }]);
  expect(areaOf(corner.corners)).toBe(12);
  expect(crosses([[0, 0], [2, 2], [2, 0], [0, 2]])).toBe(true);
  expect(crosses(l)).toBe(false);
  const ring = polygon([[0, 0], [0, 2], [2, 2]]).coordinates[0] ?? [];
  expect(ring[0]).toEqual(ring.at(-1));
  expect(areaOf(ring)).toBeGreaterThan(0);
  expect(inside([1, 1], rectangle(2, 2))).toBe(true);
  expect(areaAt([35, 24], [{ id: "A1", name: "", system: "", ring: l }])).toBeUndefined();
});

test("numbers and measures", () => {
  expect([numberOf("1 1/2"), numberOf("1/8"), numberOf("0,5"), numberOf("-3"), numberOf("−3"), numberOf(".5"), numberOf("1/0"), numberOf("x")]).toEqual([1.5, 0.125, 0.5, -3, -3, 0.5, null, null]);
  expect(partsOf("1/32 in", LENGTHS)).toEqual({ number: "1/32", unit: "in" });
  expect(partsOf("0.5 mm", LENGTHS)).toEqual({ number: "0.5", unit: "mm" });
  expect(fits(200, "mm", LENGTHS)).toBe(true);
  expect(wrongMeasure("201", "mm", LENGTHS)).toContain("200");
  expect(wrong(WIDTH, undefined)).not.toBeNull();
  expect(wrong(WIDTH, "0.02 in")).toBeNull();
  expect(wrong({ ...WIDTH, of: { form: "quantity", units: LENGTHS, count: 2, unit_apart: false } }, ["1 mm", ""])).not.toBeNull();
  expect(allWrong([WIDTH, MOVES], {}).size).toBe(1);
  expect(cleaned({ a: "", b: undefined, c: [], d: " x ", e: false, f: 0 })).toEqual({ d: "x", e: false, f: 0 });
  expect(told(MOVES, "active")).toBe("moves");
});

test("what is unusual is asked again, whatever the unit", () => {
  expect(inUnit(20, TEMPERATURES[0]!, TEMPERATURES[1]!)).toBeCloseTo(68, 9);
  expect(unusual("air_temperature", "68", "F", TEMPERATURES)).toBeNull();
  expect(unusual("air_temperature", "68", "C", TEMPERATURES)?.[1]).toBe(50);
  expect(unusual("air_temperature", "130", "F", TEMPERATURES)?.[1]).toBeCloseTo(122, 6);
  expect(unusual("something_new", "1", "F", TEMPERATURES)).toBeNull();
  expect([firstUnit("air_temperature", TEMPERATURES, "ft"), firstUnit("air_temperature", TEMPERATURES, "m")]).toEqual(["F", "C"]);
  expect(firstUnit("crack_gauge", LENGTHS, "ft")).toBe("in");
});

test("a missing test leads to its kind", () => {
  const kinds = [{ kind: "water_drop", name: "water drop" }, { kind: "acid_drop", name: "acid drop" }, { kind: "in_slab_humidity", name: "humidity in the slab" }];
  expect(kindIn("water drops spread over the area, timed", kinds)).toBe("water_drop");
  expect(kindIn("signed locate by cover meter", kinds)).toBeNull();
});

test("waits are shown as a clock shows them", () => {
  expect([leftOf(45_000), leftOf(900_000), leftOf(72 * 3_600_000), leftOf(-5)]).toEqual(["0:45", "15:00", "72:00:00", "0:00"]);
});

test("a wait survives the browser, and rings when it is over", async () => {
  vi.useFakeTimers();
  vi.resetModules();
  const { timers } = await import("../src/timers/timers.svelte");
  document.title = "Survey";
  timers.start("Water drop", 60, "/jobs/x/survey");
  vi.resetModules();
  const again = (await import("../src/timers/timers.svelte")).timers;
  expect(again.list.map((one) => one.name)).toEqual(["Water drop"]);
  expect(again.ended).toEqual([]);
  await vi.advanceTimersByTimeAsync(61_000);
  expect(again.ended.length).toBe(1);
  expect(document.title).not.toBe("Survey");
  again.stop(again.list[0]?.id ?? "");
  timers.stop(timers.list[0]?.id ?? "");
  expect(document.title).toBe("Survey");
});

test("a form made from its description: number with unit, choices, what is wrong", async () => {
  const { container } = render(FieldsForm, { fields: [WIDTH, MOVES], value: { width: "0.02 in" }, id: "form", shout: true });
  const width = screen.getByLabelText("Width") as HTMLInputElement;
  expect(width.value).toBe("0.02");
  expect((screen.getByLabelText("in") as HTMLInputElement).checked).toBe(true);
  await fireEvent.input(width, { target: { value: "300" } });
  expect(container.querySelector(".fault")).not.toBeNull();
  expect(width.getAttribute("aria-invalid")).toBe("true");
  await fireEvent.click(screen.getByLabelText("mm"));
  await fireEvent.input(width, { target: { value: "0.5" } });
  expect(container.querySelector(".fault")).toBeNull();
  expect((screen.getByLabelText("Nobody knows") as HTMLInputElement).checked).toBe(true);
});
