/** Drawing with a finger, by typing and by keys, in a real browser and into a real record. */

import { mkdirSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

import type { BrowserContext, CDPSession, Page } from "playwright-core";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from "vitest";

import { served, type Served } from "./served";

const here = dirname(fileURLToPath(import.meta.url));
const shots = join(here, "shots");
const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

const SIZES = [
  { name: "phone", width: 390, height: 844 },
  { name: "small-tablet", width: 768, height: 1024 },
  { name: "tablet", width: 1024, height: 768 },
  { name: "desk", width: 1440, height: 900 },
] as const;

interface Axe {
  run(): Promise<{ violations: { id: string; nodes: { html: string; failureSummary: string }[] }[] }>;
}
interface Shown {
  thing: string;
  value: { properties?: Record<string, unknown>; geometry?: { coordinates: number[][] & number[][][] } } | null;
  state: string;
}

let there: Served;
beforeAll(async () => {
  mkdirSync(shots, { recursive: true });
  there = await served();
});
afterAll(() => there.end());

describe.each(SIZES)("drawing on a $name", ({ name, width, height }) => {
  const finger = name !== "desk";
  let context: BrowserContext;
  let page: Page;
  let client: CDPSession;
  let wrong: string[];

  beforeEach(async () => {
    context = await there.browser.newContext({ viewport: { width, height }, hasTouch: finger });
    await context.addInitScript(() => {
      localStorage.setItem("tooth author", "Ana Ruiz");
      localStorage.setItem("tooth device", "tablet 3");
    });
    page = await context.newPage();
    client = await context.newCDPSession(page);
    wrong = [];
    page.on("console", (line) => {
      if (line.type() === "error" || line.type() === "warning") wrong.push(line.text());
    });
    page.on("pageerror", (error) => wrong.push(error.message));
    await page.goto(`${there.page}/jobs/${there.job}/draw`);
    await page.locator(".drawroom .ol-layers canvas").first().waitFor();
    await page.waitForTimeout(800);
  });
  afterEach(async () => {
    await context.close();
    expect(wrong, "a clean console").toEqual([]);
  });

  const button = (words: string | RegExp) => page.getByRole("button", typeof words === "string" ? { name: words, exact: true } : { name: words });

  /** A place of the map, in parts of its width and height. */
  const place = async (x: number, y: number): Promise<{ x: number; y: number }> => {
    const box = await page.locator(".drawroom .map").boundingBox();
    if (box === null) throw new Error("no map");
    return { x: box.x + x * box.width, y: box.y + y * box.height };
  };

  const touch = async (x: number, y: number) => {
    const at = await place(x, y);
    await (finger ? page.touchscreen.tap(at.x, at.y) : page.mouse.click(at.x, at.y));
    await page.waitForTimeout(200);
  };

  const stroke = async (places: [number, number][], held?: () => Promise<unknown>) => {
    const all = await Promise.all(places.map(([x, y]) => place(x, y)));
    const first = all[0] as { x: number; y: number };
    if (finger) {
      await client.send("Input.dispatchTouchEvent", { type: "touchStart", touchPoints: [first] });
      for (const at of all.slice(1)) {
        await client.send("Input.dispatchTouchEvent", { type: "touchMove", touchPoints: [at] });
        await page.waitForTimeout(20);
      }
      await held?.();
      await client.send("Input.dispatchTouchEvent", { type: "touchEnd", touchPoints: [] });
    } else {
      await page.mouse.move(first.x, first.y);
      await page.mouse.down();
      for (const at of all.slice(1)) await page.mouse.move(at.x, at.y, { steps: 4 });
      await page.mouse.up();
    }
    await page.waitForTimeout(300);
  };

  const things = async (): Promise<Shown[]> => {
    const answer = await page.request.get(`${there.page}/api/jobs/${there.job}/things`);
    return ((await answer.json()) as { things: Shown[] }).things;
  };

  /** Waits until the program has a thing as it should be. */
  const recorded = async (is: (all: Shown[]) => boolean, what: string) => {
    for (let tries = 0; tries < 60; tries += 1) {
      if (is(await things())) return;
      await page.waitForTimeout(250);
    }
    throw new Error(`never recorded: ${what}`);
  };

  const sound = async (what: string) => {
    await page.screenshot({ path: join(shots, `${name}-draw-${what}.png`) });
    await page.evaluate(axe);
    const found = await page.evaluate(() => (window as unknown as { axe: Axe }).axe.run());
    expect(found.violations.map((one) => `${one.id}: ${one.nodes.map((node) => node.html).join("\n")}`), what).toEqual([]);
    const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
    expect(over, `${what}: nothing hangs over the side`).toBeLessThanOrEqual(0);
    const small = await page.evaluate(() =>
      [...document.querySelectorAll("main button, main select, main input, main summary, main a.button")]
        .filter((one) => one.getClientRects().length > 0)
        .map((one) => ({ box: one.getBoundingClientRect(), html: one.outerHTML.slice(0, 80) }))
        .filter(({ box }) => box.height < 48 || box.width < 44)
        .map(({ html, box }) => `${html} ${Math.round(box.width)}×${Math.round(box.height)}`),
    );
    expect(small, `${what}: targets of 48 px and more`).toEqual([]);
  };

  test("a crack in one stroke, with its width by a touch, is in the record; undone it is withdrawn", async () => {
    const before = new Set((await things()).map((one) => one.thing));
    await button("Draw").click();
    await sound("kinds");
    await button("crack").click();
    await page.waitForTimeout(400);
    await stroke([[0.3, 0.5], [0.36, 0.46], [0.42, 0.48], [0.5, 0.4]], finger ? () => page.locator(".glass:visible").waitFor() : undefined);
    await sound("crack");
    await button("0.02 in").click();
    await button("Dormant").click();
    await button("Keep").click();
    const fresh = (all: Shown[]) => all.find((one) => !before.has(one.thing) && one.value?.properties?.["kind"] === "crack");
    await recorded((all) => fresh(all)?.value?.properties?.["width"] === "0.02 in", "the crack");
    const crack = fresh(await things());
    expect(crack?.thing).toMatch(/^feature\/C\d+/);
    expect(crack?.value?.properties?.["movement"]).toBe("dormant");
    await button("Undo").click();
    await recorded((all) => all.find((one) => one.thing === crack?.thing)?.state === "withdrawn", "the withdrawal");
    await button("Redo").click();
    await recorded((all) => all.find((one) => one.thing === crack?.thing)?.state === "counts", "the crack again");
    await button("Undo").click();
    await recorded((all) => all.find((one) => one.thing === crack?.thing)?.state === "withdrawn", "the withdrawal again");
  });

  test("an area by a touch and exact sides, its walls, and a grid of joints", async () => {
    const before = new Set((await things()).map((one) => one.thing));
    const made = (all: Shown[], kind: string) => all.filter((one) => !before.has(one.thing) && one.state === "counts" && one.value?.properties?.["kind"] === kind);
    await button("Draw").click();
    await button("area").click();
    await page.waitForTimeout(400);
    await touch(0.2, 0.9);
    for (const [length, way] of [["24' 6\"", "to the right"], ["16", "down"], ["24 6", "to the left"]] as const) {
      await page.getByLabel("Next side, exact").fill(length);
      await button(way).click();
      await page.waitForTimeout(400);
    }
    await sound("area");
    await button("Finish").click();
    await page.getByLabel(/people call it/).waitFor();
    await page.getByRole("group", { name: /system/ }).getByRole("button").first().click();
    await sound("area-asked");
    await button("Keep").click();
    await recorded((all) => made(all, "zone").length === 1, "the area");
    const [west, , east] = made(await things(), "zone")[0]?.value?.geometry?.coordinates[0] ?? [];
    expect((east?.[0] ?? 0) - (west?.[0] ?? 0)).toBeCloseTo(24.5, 3);
    expect((west?.[1] ?? 0) - (east?.[1] ?? 0)).toBeCloseTo(16, 3);

    await button("Hand").click();
    await button("More").click();
    await sound("more");
    await button("Walls round the areas").click();
    await page.locator(".proposed button").first().waitFor();
    await sound("walls");
    const sides = await page.locator(".proposed button").count();
    await page.locator(".proposed button").last().click();
    await button("Keep the walls").click();
    await recorded((all) => made(all, "wall").length === sides - 1, "all walls but the open side");

    await button("More").click();
    await button("Regular joints in an area").click();
    const area = page.getByLabel("In area");
    await area.selectOption({ index: (await area.locator("option").count()) - 1 });
    await page.getByLabel("Apart, across").fill("8'");
    await page.waitForTimeout(300);
    await sound("grid");
    await button("Keep the joints").click();
    await button("Contraction joint").click();
    await button("Keep").click();
    await recorded((all) => made(all, "joint").length >= 3, "the joints");
    // What was made here is taken away again: the other sizes begin with the same floor.
    for (let steps = 0; steps < 3; steps += 1) {
      await button("Undo").click();
      await page.waitForTimeout(500);
    }
    await recorded((all) => made(all, "zone").length === 0 && made(all, "joint").length === 0, "nothing left of it");
  });

  test("a mark is changed by numbers and deleted with a reason, all from the list", async () => {
    await button("More").click();
    await button(/^List of all marks/).first().click();
    await sound("list");
    await page.getByLabel("Find").fill("store");
    await page.locator(".asks .objects button").first().click();
    await page.waitForTimeout(900);
    await sound("mark");
    const store = (all: Shown[]) => all.find((one) => one.thing === "feature/store")?.value?.geometry?.coordinates[0] ?? [];
    const was = JSON.stringify(store(await things()));
    await button("Corners as numbers").click();
    await sound("numbers");
    await page.getByLabel("Place 3, up").fill("61' 6\"");
    await button("Go on").click();
    await recorded((all) => store(all)[2]?.[1] === 61.5, "the corner typed");
    await button("Undo").click();
    await recorded((all) => JSON.stringify(store(all)) === was, "the corner back");
    await button("Delete").click();
    await sound("why");
    await button("It is not there").click();
    await recorded((all) => all.find((one) => one.thing === "feature/store")?.state === "withdrawn", "deleted");
    await button("Undo").click();
    await recorded((all) => JSON.stringify(store(all)) === was, "back again");
  });

  test("an area is cut in two by two touches, joined again, and its corner dragged with its neighbour's", async () => {
    const coordinates = (all: Shown[], thing: string) => all.find((one) => one.thing === thing)?.value?.geometry?.coordinates[0] ?? [];
    const zones = (all: Shown[]) => all.filter((one) => one.state === "counts" && one.value?.properties?.["kind"] === "zone").length;
    const choose = async () => {
      await button("More").click();
      await button(/^List of all marks/).first().click();
      await page.getByLabel("Find").fill("store");
      await page.locator(".asks .objects button").first().click();
      await page.waitForTimeout(900);
    };
    await choose();
    const was = await things();
    await button("Cut in two").click();
    await page.waitForTimeout(400);
    // What is chosen lies in the middle of the room beside the buttons.
    const box = await page.locator(".drawroom .map").boundingBox();
    const middle = (50 + ((box?.width ?? 0) - 150) / 2) / (box?.width ?? 1);
    await touch(middle, 0.3);
    await touch(middle, 0.7);
    await recorded((all) => zones(all) === zones(was) + 1, "two areas of one");
    await button("Join with another").click();
    await sound("join");
    await page.locator(".asks .choices button").last().click();
    await recorded((all) => zones(all) === zones(was), "one area of two");
    await button("Undo").click();
    await button("Undo").click();
    await recorded((all) => JSON.stringify(coordinates(all, "feature/store")) === JSON.stringify(coordinates(was, "feature/store")), "as it was");
    await choose();
    // The store is 40 ft by 24 ft; its far right corner is the workshop's too.
    const map = (await page.locator(".drawroom .map").boundingBox()) ?? { x: 0, y: 0, width: 1, height: 1 };
    const pad = Math.min(90, map.height * 0.16);
    const feet = Math.max(40 / (map.width - 150), 24 / (map.height - 2 * pad));
    const corner: [number, number] = [(50 + (map.width - 150) / 2 + 20 / feet) / map.width, 0.5 - 12 / feet / map.height];
    await stroke([corner, [corner[0] - 0.05, corner[1] + 0.02], [corner[0] - 0.15, corner[1] + 0.08]]);
    const moved = (all: Shown[]) => ["feature/store", "feature/workshop"].every((thing) => JSON.stringify(coordinates(all, thing)) !== JSON.stringify(coordinates(was, thing)));
    await recorded(moved, "both corners moved");
    await button("Undo").click();
    await recorded((all) => JSON.stringify(coordinates(all, "feature/workshop")) === JSON.stringify(coordinates(was, "feature/workshop")), "both back");
  });

  test("by keys alone: a rectangle of typed sides becomes an obstacle", async () => {
    const before = new Set((await things()).map((one) => one.thing));
    await button("More").focus();
    await page.keyboard.press("Enter");
    await button("Type sizes or places").focus();
    await page.keyboard.press("Enter");
    await page.getByLabel("What to draw").selectOption("obstacle");
    await page.getByLabel("Across", { exact: true }).fill("18 in");
    await page.getByLabel("Deep", { exact: true }).fill("1' 6\"");
    await sound("typed");
    await page.keyboard.press("Enter");
    const obstacle = (all: Shown[]) => all.find((one) => !before.has(one.thing) && one.value?.properties?.["kind"] === "obstacle" && one.state === "counts");
    await recorded((all) => obstacle(all) !== undefined, "the obstacle");
    await page.locator(".drawroom .map").focus();
    await page.keyboard.press("Control+z");
    await recorded((all) => obstacle(all) === undefined, "undone by keys");
  });

  test("a picture is traced on this device and measured by one known length", async () => {
    let sent = 0;
    page.on("request", (request) => {
      if (request.method() !== "GET") sent += 1;
    });
    await button("More").click();
    await button("Trace a picture").click();
    await page.locator("input[type=file]").setInputFiles(join(here, "../../demo/photos/chalk.jpg"));
    await button("Touch two ends of a known length").click();
    await touch(0.3, 0.4);
    await touch(0.6, 0.45);
    await page.getByLabel("How long it is").fill("20'");
    await button("Make it so long").click();
    await sound("traced");
    expect(sent, "nothing was sent").toBe(0);
  });
});
