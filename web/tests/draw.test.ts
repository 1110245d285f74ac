import { describe, expect, test } from "vitest";

import { readDxf, readGeoJson } from "../src/draw/dxf";
import { kept, parseAngle, parseCoordinate, parseLength, showArea, showLength } from "../src/draw/measure";
import {
  areaOf,
  box,
  centre,
  clipped,
  closedWalk,
  ell,
  holds,
  joined,
  lengthOf,
  outlineFault,
  rectangle,
  same,
  selfCrossing,
  simplified,
  split,
  walked,
  type Point,
} from "../src/draw/shapes";
import { snapped } from "../src/draw/snap";
import { did, NOTHING_DONE, redone, undone, type Edit } from "../src/draw/undo";
import { chained, jointGrid, outerSides } from "../src/draw/walls";

describe("lengths", () => {
  test.each([
    ["12' 6 1/2\"", 12 + 6.5 / 12],
    ["12'6\"", 12.5],
    ["12’ 6″", 12.5],
    ["12-6 1/2", 12 + 6.5 / 12],
    ["12-6", 12.5],
    ["12 6", 12.5],
    ["12 6 1/2", 12 + 6.5 / 12],
    ["12 ft 6 in", 12.5],
    ["12 feet 6 1/2 inches", 12 + 6.5 / 12],
    ["12 pies 6 pulgadas", 12.5],
    ["12.54 ft", 12.54],
    ["12.54", 12.54],
    ["12,54", 12.54],
    ["12'", 12],
    ["6 1/2", 6.5],
    ["6½", 6.5],
    ["150 in", 12.5],
    ["6 1/2\"", 6.5 / 12],
    ["0' 6\"", 0.5],
    ["3.8 m", 3.8 / 0.3048],
    ["380 cm", 3.8 / 0.3048],
    ["3800 mm", 3.8 / 0.3048],
    ["3,8m", 3.8 / 0.3048],
  ])("%s in a plan in feet", (text, feet) => {
    expect(parseLength(text, "ft")).toBeCloseTo(feet, 9);
  });

  test.each([["3.8", 3.8], ["3.8 m", 3.8], ["380 cm", 3.8], ["12' 6\"", 3.81], ["150 in", 3.81]])(
    "%s in a plan in metres",
    (text, metres) => expect(parseLength(text, "m")).toBeCloseTo(metres, 9),
  );

  test.each(["", "0", "-3", "twelve", "12' 14\"", "12.5' 6\"", "3,800", "1/0", "5/4", "12 q", "12'6'", "1e5", "NaN"])(
    "%s is none",
    (text) => expect(parseLength(text, "ft")).toBeNull(),
  );

  test("two bare numbers mean feet and inches only where the plan is in feet", () => {
    expect(parseLength("12 6", "m")).toBeNull();
  });

  test("places may be zero, or on the other side of it", () => {
    expect(parseCoordinate("0", "ft")).toBe(0);
    expect(parseCoordinate("-2' 6\"", "ft")).toBe(-2.5);
    expect(parseCoordinate("−3.5 m", "m")).toBe(-3.5);
  });

  test("angles", () => {
    expect(parseAngle("90")).toBe(90);
    expect(parseAngle("45.5°")).toBe(45.5);
    expect(parseAngle("45° 30'")).toBe(45.5);
    expect(parseAngle("-90 deg")).toBe(-90);
    expect(parseAngle("400")).toBeNull();
    expect(parseAngle("left")).toBeNull();
  });

  test.each([
    [12.5, "12′ 6″"],
    [12 + 6.5 / 12, "12′ 6 1/2″"],
    [12 + 0.125 / 12, "12′ 1/8″"],
    [12 + 6.25 / 12, "12′ 6 1/4″"],
    [12, "12′"],
    [0.5, "6″"],
    [0, "0″"],
    [11.9999, "12′"],
  ])("%d ft reads %s and is read back", (feet, text) => {
    expect(showLength(feet, "ft")).toBe(text);
    expect(parseCoordinate(text, "ft")).toBeCloseTo(feet, 2);
  });

  test("metres and areas", () => {
    expect(showLength(3.8, "m", "en")).toBe("3.80 m");
    expect(showLength(0.385, "m", "en")).toBe("0.385 m");
    expect(showArea(480, "ft", "en")).toBe("480 ft²");
    expect(kept(1 / 3)).toBe(0.3333);
    expect(Object.is(kept(-0.000001), 0)).toBe(true);
  });
});

const square = rectangle([0, 0], 10, 10);

describe("outlines", () => {
  test("a rectangle, and an L with any corner missing", () => {
    expect(areaOf(rectangle([2, 3], 40, 25))).toBe(1000);
    expect(box([5, 5], [1, 2])).toEqual([[1, 2], [5, 2], [5, 5], [1, 5]]);
    for (const lacks of ["far-right", "far-left", "near-right", "near-left"] as const) {
      const ring = ell([0, 0], 40, 25, 10, 5, lacks) ?? [];
      expect(areaOf(ring)).toBe(950);
      const gone: Point = [lacks.endsWith("left") ? 1 : 39, lacks.startsWith("near") ? 1 : 24];
      expect(holds(ring, gone), lacks).toBe(false);
    }
    expect(ell([0, 0], 10, 10, 10, 2, "far-left")).toBeNull();
  });

  test("sides and turns close, or say by how much they do not", () => {
    const good = walked([0, 0], 0, [40, 25, 40, 25].map((length) => ({ length, turn: 90 })));
    expect(lengthOf([good.gap, [0, 0]])).toBeCloseTo(0, 9);
    expect(areaOf(good.corners)).toBeCloseTo(1000);
    const off = walked([0, 0], 0, [40, 25, 39, 25].map((length) => ({ length, turn: 90 })));
    expect(off.gap[0]).toBeCloseTo(-1);
    const closed = closedWalk(off);
    expect(closed[0]).toEqual([0, 0]);
    // The error is spread by the way walked.
    expect(closed[1]?.[0]).toBeCloseTo(40 - 40 / 129);
    expect(closedWalk({ corners: [], gap: [0, 0] })).toEqual([]);
  });

  test("an outline that crosses itself is said where", () => {
    expect(selfCrossing(square)).toBeNull();
    const bow: Point[] = [[0, 0], [10, 10], [10, 0], [0, 10]];
    expect(selfCrossing(bow)).toEqual([5, 5]);
    expect(outlineFault(bow)).toEqual({ is: "crossing", at: [5, 5] });
    expect(outlineFault([[0, 0], [1, 0]])).toEqual({ is: "few" });
    expect(outlineFault([[0, 0], [1, 0], [2, 0]])).not.toBeNull();
    expect(outlineFault(square)).toBeNull();
    // A side that runs back over the one before.
    expect(outlineFault([[0, 0], [10, 0], [5, 0], [5, 5]])).not.toBeNull();
  });

  test("a cut parts an area in two, whichever side it is drawn from", () => {
    for (const [from, to] of [[[4, -1], [4, 11]], [[4, 12], [4, 3]], [[4, 3], [4, 4]]] as [Point, Point][]) {
      const parts = split(square, from, to) ?? [];
      expect(parts.map(areaOf).sort((a, b) => a - b)).toEqual([40, 60]);
    }
    expect(split(square, [12, 0], [12, 5])).toBeNull();
    expect(split(square, [1, 1], [1, 1])).toBeNull();
    // From corner to corner.
    expect((split(square, [0, 0], [10, 10]) ?? []).map(areaOf)).toEqual([50, 50]);
    // Along a side nothing is cut.
    expect(split(square, [0, 0], [10, 0])).toBeNull();
  });

  test("of an area with arms only the arm is cut where the cut was drawn", () => {
    const u: Point[] = [[0, 0], [30, 0], [30, 20], [20, 20], [20, 5], [10, 5], [10, 20], [0, 20]];
    const parts = split(u, [18, 12], [33, 12]) ?? [];
    expect(parts.map(areaOf).sort((a, b) => a - b)).toEqual([80, areaOf(u) - 80]);
  });

  test("areas that share a side become one; those that do not stay two", () => {
    const whole = joined(square, rectangle([10, 0], 5, 10));
    expect(whole).toHaveLength(4);
    expect(areaOf(whole ?? [])).toBe(150);
    const stepped = joined(square, rectangle([10, 3], 5, 20));
    expect(areaOf(stepped ?? [])).toBe(200);
    expect(stepped).toHaveLength(8);
    expect(joined(square, rectangle([11, 0], 5, 10))).toBeNull();
    expect(joined(square, rectangle([10, 10], 5, 5))).toBeNull();
    // What would leave a hole is none.
    const c: Point[] = [[0, 0], [10, 0], [10, 3], [3, 3], [3, 7], [10, 7], [10, 10], [0, 10]];
    expect(joined(c, rectangle([10, 0], 2, 10))).toBeNull();
  });

  test("what was split is joined again to what it was", () => {
    const [one, other] = split(square, [3, -1], [8, 11]) ?? [[], []];
    expect(areaOf(joined(one, other) ?? [])).toBeCloseTo(100, 6);
  });

  test("a hand-drawn line keeps its shape with few points", () => {
    const drawn = Array.from({ length: 500 }, (_, at): Point => [at / 50, Math.sin(at / 50)]);
    const few = simplified(drawn, 0.05);
    expect(few.length).toBeLessThan(20);
    expect(lengthOf(few)).toBeGreaterThan(lengthOf(drawn) * 0.98);
    expect([few[0], few[few.length - 1]]).toEqual([drawn[0], drawn[499]]);
  });

  test("a line is clipped to an area, and what runs along its border is left out", () => {
    expect(clipped([[5, -5], [5, 15]], square)).toEqual([[[5, 0], [5, 10]]]);
    expect(clipped([[0, -5], [0, 15]], square)).toEqual([]);
    const u: Point[] = [[0, 0], [30, 0], [30, 20], [20, 20], [20, 5], [10, 5], [10, 20], [0, 20]];
    expect(clipped([[-1, 12], [31, 12]], u)).toHaveLength(2);
    expect(centre(square)).toEqual([5, 5]);
  });
});

describe("snapping", () => {
  const around = { corners: [[10, 10]] as Point[], edges: [[[0, 20], [40, 20]]] as [Point, Point][], drawn: [] as Point[], reach: 0.5 };

  test("a corner goes before an edge, and an edge before nothing", () => {
    expect(snapped([10.3, 9.8], around)).toMatchObject({ at: [10, 10], by: "corner" });
    expect(snapped([7, 20.2], around)).toMatchObject({ at: [7, 20], by: "edge" });
    expect(snapped([7, 15], around)).toMatchObject({ at: [7, 15], by: null });
  });

  test("along the axes from the last corner, and square to a slanted side", () => {
    expect(snapped([5, 3.3], { ...around, drawn: [[0, 3]] })).toMatchObject({ at: [5, 3], by: "axis" });
    const drawn: Point[] = [[0, 0], [3, 4]];
    const square = snapped([-1.1, 7.1], { ...around, drawn });
    expect(square.by).toBe("square");
    expect(same(square.at, [-1.112, 7.084], 0.01)).toBe(true);
  });

  test("the fourth corner of a rectangle lies where both lines meet", () => {
    const drawn: Point[] = [[0, 0], [8, 0], [8, 6]];
    const fourth = snapped([0.2, 6.3], { ...around, drawn });
    expect(fourth.at).toEqual([0, 6]);
    expect(fourth.guides).toHaveLength(2);
    // And the first corner closes.
    expect(snapped([0.2, 0.2], { ...around, drawn: [...drawn, [0, 6]] })).toMatchObject({ at: [0, 0], by: "corner" });
  });

  test("along an axis onto an edge", () => {
    expect(snapped([5.2, 19.8], { ...around, drawn: [[5, 3]] })).toMatchObject({ at: [5, 20], by: "edge" });
  });

  test("a second touch on the last corner is drawn to nothing of its own", () => {
    expect(snapped([5.1, 5], { ...around, drawn: [[5, 5]] }).by).not.toBe("corner");
  });
});

describe("walls and joints", () => {
  test("walls are proposed round the areas, not between them", () => {
    const walls = outerSides([rectangle([0, 0], 10, 10), rectangle([10, 0], 5, 10)]);
    expect(walls).toHaveLength(4);
    expect(walls.reduce((sum, wall) => sum + lengthOf(wall), 0)).toBe(50);
    // A smaller neighbour leaves the rest of the longer side.
    const stepped = outerSides([rectangle([0, 0], 10, 10), rectangle([10, 0], 5, 4)]);
    expect(stepped.reduce((sum, wall) => sum + lengthOf(wall), 0)).toBe(50);
    expect(stepped.some((wall) => same(wall[0], [10, 4]) && same(wall[1], [10, 10]))).toBe(true);
  });

  test("where a wall stands none is proposed", () => {
    const left = outerSides([square], [[[0, 0], [10, 0]], [[10, 0], [10, 6]]]);
    expect(left.reduce((sum, wall) => sum + lengthOf(wall), 0)).toBe(24);
  });

  test("a grid of joints is clipped to its area", () => {
    const joints = jointGrid(rectangle([0, 0], 40, 25), { along: 10, across: 12.5 });
    expect(joints).toHaveLength(4);
    expect(joints.every((joint) => lengthOf(joint) === 25 || lengthOf(joint) === 40)).toBe(true);
    expect(jointGrid(square, { along: 4, across: 100, firstAlong: 1 }).map((joint) => joint[0][0])).toEqual([1, 5, 9]);
    expect(jointGrid(square, { along: 0.001, across: 0 })).toEqual([]);
    const slanted = jointGrid(square, { along: 5, across: 5, turned: 45 });
    expect(slanted.length).toBeGreaterThan(2);
    expect(slanted.flat().every((place) => holds(square, place))).toBe(true);
  });

  test("loose lines become a ring", () => {
    const lines: Point[][] = [[[0, 0], [4, 0]], [[4, 3], [4, 0]], [[4, 3], [0, 3]], [[0, 3], [0, 0]], [[9, 9], [10, 10]]];
    const found = chained(lines, 0.001);
    expect(found.map((line) => line.closed)).toEqual([true, false]);
    expect(areaOf(found[0]?.points ?? [])).toBe(12);
  });
});

describe("undo", () => {
  const edit = (thing: string, before: unknown, after: unknown): Edit => ({ what: "move", changes: [{ thing, before, after }] });

  test("goes back and forth, and what is done anew ends the way forth", () => {
    let done = did(did(NOTHING_DONE, edit("feature/A", null, 1)), edit("feature/A", 1, 2));
    const back = undone(done);
    expect(back?.say.changes).toEqual([{ thing: "feature/A", before: 2, after: 1 }]);
    done = back?.done ?? done;
    const forth = redone(done);
    expect(forth?.say.changes).toEqual([{ thing: "feature/A", before: 1, after: 2 }]);
    expect(forth?.done.past).toHaveLength(2);
    done = did(done, edit("feature/B", null, 3));
    expect(redone(done)).toBeNull();
    expect(undone(NOTHING_DONE)).toBeNull();
  });

  test("the changes of one touch are undone last first", () => {
    const both: Edit = { what: "split", changes: [{ thing: "a", before: 1, after: 2 }, { thing: "b", before: null, after: 3 }] };
    expect(undone(did(NOTHING_DONE, both))?.say.changes.map((change) => change.thing)).toEqual(["b", "a"]);
  });

  test("a thousand steps lead back to where one was", () => {
    let done = NOTHING_DONE;
    let now: unknown = null;
    for (let step = 0; step < 1000; step += 1) {
      done = did(done, edit("feature/A", now, step));
      now = step;
    }
    for (let back = undone(done); back !== null; back = undone(done)) {
      done = back.done;
      now = back.say.changes[0]?.after;
    }
    expect(now).toBeNull();
    expect(done.future).toHaveLength(1000);
  });
});

describe("drawings of other programs", () => {
  const dxf = (lines: (string | number)[]) => lines.join("\r\n");

  test("lines and light polylines of a drawing in inches come in feet", () => {
    const file = dxf([
      0, "SECTION", 2, "HEADER", 9, "$INSUNITS", 70, 1, 0, "ENDSEC",
      0, "SECTION", 2, "ENTITIES",
      0, "LWPOLYLINE", 90, 4, 70, 1, 10, 0, 20, 0, 10, 480, 20, 0, 10, 480, 20, 300, 10, 0, 20, 300,
      0, "LINE", 10, 0, 20, 0, 30, 0, 11, 120, 21, 60, 31, 0,
      0, "TEXT", 10, 5, 20, 5, 1, "10",
      0, "ENDSEC", 0, "EOF",
    ]);
    const read = readDxf(file, "ft");
    expect(read?.unit).toBe("in");
    expect(read?.outlines).toHaveLength(2);
    expect(areaOf(read?.outlines[0]?.points ?? [])).toBeCloseTo(1000);
    expect(read?.outlines[0]?.closed).toBe(true);
    expect(read?.outlines[1]?.points[1]).toEqual([10, 5]);
    expect([...(read?.passed ?? [])]).toEqual([["TEXT", 1]]);
    expect(readDxf("not a drawing", "ft")).toBeNull();
  });

  test("outlines of GeoJSON", () => {
    const file = JSON.stringify({
      type: "FeatureCollection",
      units: "m",
      features: [
        { type: "Feature", properties: null, geometry: { type: "Polygon", coordinates: [[[0, 0], [3.048, 0], [3.048, 3.048], [0, 0]]] } },
        { type: "Feature", geometry: { type: "Point", coordinates: [1, 1] } },
      ],
    });
    const read = readGeoJson(file, "ft");
    expect(read?.outlines[0]?.points).toHaveLength(3);
    expect(read?.outlines[0]?.points[1]?.[0]).toBeCloseTo(10);
    expect(read?.passed.get("Point")).toBe(1);
    expect(readGeoJson("{", "ft")).toBeNull();
    expect(readGeoJson("{}", "ft")).toBeNull();
  });
});
