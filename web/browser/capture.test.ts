/** A survey made on the page, in a real browser: begun, tested, mended, signed. */

import { mkdirSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

import type { BrowserContext, Page } from "playwright-core";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from "vitest";

import { served, type Served } from "./served";

const here = dirname(fileURLToPath(import.meta.url));
const shots = join(here, "shots");
/** Handed to the browser by the test, past the page's own policy, which would stop it. */
const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const photo = join(here, "../../demo/photos/beads.jpg");

const SIZES = [
  { name: "phone", width: 390, height: 844 },
  { name: "upright", width: 768, height: 1024 },
  { name: "tablet", width: 1024, height: 768 },
  { name: "desk", width: 1440, height: 900 },
] as const;
/** Most touches for a job of one area with its first reading; typing aside. */
const TOUCHES = 30;

let there: Served;
let context: BrowserContext;
let page: Page;
let wrong: string[];

beforeAll(async () => {
  mkdirSync(shots, { recursive: true });
  there = await served();
});
afterAll(() => there.end());

async function open(width: number, height: number): Promise<void> {
  context = await there.browser.newContext({ viewport: { width, height }, hasTouch: width < 1200, locale: "en-US" });
  await context.addInitScript(() => {
    localStorage.setItem("tooth author", "Ana Ruiz");
    localStorage.setItem("tooth device", "tablet 3");
  });
  page = await context.newPage();
  wrong = [];
  page.on("pageerror", (error) => wrong.push(error.message));
  page.on("console", (line) => {
    // A way to the program that the test itself cut off is no fault of the page.
    if (line.type() === "error" && !line.text().includes("net::ERR_FAILED")) wrong.push(line.text());
  });
}
afterEach(async () => {
  await context.close();
  expect(wrong, "a clean console").toEqual([]);
});

const shot = (name: string) => page.screenshot({ path: join(shots, `capture-${name}.png`), fullPage: true });

async function fits(): Promise<void> {
  const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  expect(over, "nothing hangs over the side").toBeLessThanOrEqual(0);
}

async function accessible(): Promise<void> {
  // What lies under the bar while the page is scrolled is not what a person touches.
  await page.evaluate(() => scrollTo(0, 0));
  await page.evaluate(axe);
  const found = await page.evaluate(() =>
    (window as unknown as { axe: { run(): Promise<{ violations: { id: string; nodes: { html: string }[] }[] }> } }).axe.run(),
  );
  expect(found.violations.map((one) => `${one.id}: ${one.nodes.map((node) => node.html).join("\n")}`)).toEqual([]);
}

interface Held {
  thing: string;
  state: string;
  value: { value?: string; zone?: string } | null;
  file: { hash: string; bytes: number } | null;
  entries: string[];
}

async function things(job: string): Promise<Held[]> {
  const answer = await fetch(`${there.page}/api/jobs/${job}/things`);
  return ((await answer.json()) as { things: Held[] }).things;
}

describe("a job from nothing", () => {
  beforeEach(() => open(390, 844));

  test("is begun, tested and judged on a phone in a few touches", async () => {
    let touches = 0;
    const touch = async (name: string, role: "button" | "link" = "button") => {
      touches += 1;
      await page.getByRole(role, { name, exact: true }).first().click();
    };
    await page.goto(there.page);
    await touch("New job", "link");
    await page.getByLabel("What is the job called?").fill("Shop floor");
    await page.getByLabel("For whom?").fill("Mill & Sons");
    await page.getByLabel("Length", { exact: true }).fill("40");
    await page.getByLabel("Width", { exact: true }).fill(`25'`);
    touches += 4;
    await page.getByText("1,000 ft²").waitFor();
    touches += 1;
    const classes = page.locator("[id='system-0-class'], [name='system-0-class']").first();
    await (await classes.evaluate((one) => one.tagName) === "SELECT"
      ? classes.selectOption("high_build")
      : page.locator("label:has([name='system-0-class'])").nth(3).click());
    touches += 2;
    await page.locator("#system-0-thickness-0").fill("30");
    await page.locator("label:has([name='system-0-thickness-0-unit'])", { hasText: "mil" }).click();
    await touch("Begin the survey");
    await page.getByRole("heading", { name: "Shop floor" }).waitFor();
    await page.getByText("All notes are handed over.").waitFor();
    await page.locator(".areacard .verdict").waitFor();
    await accessible();
    await touch("New test");
    await page.locator(".kinds button", { hasText: "ater drop" }).first().click();
    touches += 1;
    for (const digit of ["1", "2"]) {
      await page.locator(".pad").getByRole("button", { name: digit, exact: true }).click();
      touches += 1;
    }
    await page.locator(".smallplan").click({ position: { x: 120, y: 90 } });
    touches += 1;
    await touch("Note it");
    await page.locator(".flow .note").waitFor();
    await fits();
    await accessible();
    await shot("flow-phone");
    await page.getByText("All notes are handed over.").waitFor();
    await touch("Verdict and price", "link");
    await page.locator(".card .verdict").waitFor();
    expect(touches).toBeLessThanOrEqual(TOUCHES);
    const job = /jobs\/([^/]+)/.exec(page.url())?.[1] ?? "";
    const reading = (await things(job)).find((one) => one.thing === "reading/R001");
    expect(reading?.value).toMatchObject({ kind: "water_drop", value: "12", unit: "s", zone: "A1", by: "Ana Ruiz" });
  });
});

describe("a survey goes on", () => {
  beforeEach(() => open(768, 1024));

  test("without a connection, through a reload: nothing lost, nothing twice", async () => {
    const before = (await things(there.job)).length;
    await page.goto(`${there.page}/jobs/${there.job}/survey?test=acid_drop&zone=cafe`);
    await page.locator(".flow form").waitFor();
    await page.route(/\/api\/jobs\/[^/]+\/(entries|files)/, (way) => way.abort());
    await page.locator(".flow .choices label").first().click();
    await page.locator("#flow-photo").setInputFiles(photo);
    await page.locator(".smallplan").click({ position: { x: 150, y: 120 } });
    await page.getByRole("button", { name: "Note it" }).click();
    await page.getByText("3 notes not handed over yet").waitFor();
    await page.reload();
    await page.getByText("3 notes not handed over yet").waitFor();
    await page.unroute(/\/api\/jobs\/[^/]+\/(entries|files)/);
    await page.getByText("All notes are handed over.").waitFor({ timeout: 20_000 });
    const after = await things(there.job);
    expect(after.length).toBe(before + 3);
    const attached = after.find((one) => one.thing.startsWith("file/photos/R"));
    const bytes = await fetch(`${there.page}/api/jobs/${there.job}/files/${attached?.file?.hash ?? ""}`);
    expect(new Uint8Array(await bytes.arrayBuffer())).toEqual(new Uint8Array(readFileSync(photo)));
  });

  test("two versions of a reading are seen side by side and settled", async () => {
    const held = (await things(there.job)).find((one) => one.thing === "reading/R016");
    const lines = ["200", "220"].map((value, at) =>
      JSON.stringify({
        schema: 1, id: `019a0000-0000-7000-8000-00000000000${at}`, author: `Person ${at}`, device: "phone", device_time: "2026-09-14T08:30:00Z",
        fact: { corrected: { thing: "reading/R016", value: { ...held?.value, value }, replaces: held?.entries, reason: "read again" } },
      }),
    );
    await fetch(`${there.page}/api/jobs/${there.job}/entries`, {
      method: "POST", headers: { "content-type": "application/x-ndjson", origin: there.page }, body: `${lines.join("\n")}\n`,
    });
    await page.goto(`${there.page}/jobs/${there.job}/survey`);
    const clash = page.locator("details.thing").first();
    await clash.locator("summary").click();
    await accessible();
    await shot("clash-upright");
    await clash.getByRole("button", { name: "This one counts" }).first().click();
    await page.getByText("Say why", { exact: true }).waitFor();
    await clash.locator("input").first().fill("the stop watch was started late");
    await clash.getByRole("button", { name: "This one counts" }).first().click();
    await page.getByText("People differ").first().waitFor({ state: "detached" });
    await page.getByText("All notes are handed over.").waitFor();
    const settled = (await things(there.job)).find((one) => one.thing === "reading/R016");
    expect([settled?.state, settled?.value?.value]).toEqual(["counts", "200"]);
  });

  test("a locate is signed, and the picture of the signature names what was signed", async () => {
    await page.goto(`${there.page}/jobs/${there.job}/decide`);
    await page.getByRole("button", { name: "A locate was signed", exact: true }).first().click();
    const sheet = page.locator("form.sheet");
    await sheet.locator("input[type='text']").first().fill("R. Okafor");
    await sheet.getByText("Café").click();
    const box = await sheet.locator("canvas").boundingBox();
    if (box === null) throw new Error("no place to sign");
    await page.mouse.move(box.x + 40, box.y + 80);
    await page.mouse.down();
    for (let at = 0; at < 12; at += 1) await page.mouse.move(box.x + 40 + at * 15, box.y + 80 + Math.sin(at) * 30);
    await page.mouse.up();
    await accessible();
    await shot("sign-upright");
    await sheet.getByRole("button", { name: "Signed", exact: true }).click();
    await sheet.waitFor({ state: "detached" });
    await page.getByText("All notes are handed over.").waitFor();
    const signed = await things(there.job);
    expect(signed.filter((one) => one.thing.startsWith("locate/")).length).toBe(2);
    expect(signed.some((one) => /^file\/photos\/signature-[0-9a-f]{24}\.png$/.test(one.thing))).toBe(true);
  });

  test("a wait that has ended is told on every page, also after the browser was closed", async () => {
    await page.goto(`${there.page}/jobs/${there.job}/survey?test=water_drop&zone=cafe`);
    await page.getByRole("button", { name: "60 s" }).click();
    await page.locator(".timers").waitFor();
    await page.evaluate(() => {
      const kept = JSON.parse(localStorage.getItem("tooth timers") ?? "[]") as { ends: number }[];
      localStorage.setItem("tooth timers", JSON.stringify(kept.map((one) => ({ ...one, ends: Date.now() - 1000 }))));
    });
    await page.goto(there.page);
    await page.getByRole("alert").getByText("Time is up: Water drop", { exact: false }).waitFor();
    await accessible();
    await page.getByRole("link", { name: "Read it now" }).click();
    await page.locator(".flow h2", { hasText: "ater drop" }).waitFor();
    expect(await page.locator(".timers").count()).toBe(0);
  });
});

describe.each(SIZES)("the pages of capture on a $name", ({ name, width, height }) => {
  beforeEach(() => open(width, height));

  test.each(["new", "survey", "decide"])("%s fits, also with text of twice the size", async (which) => {
    await page.goto(`${there.page}${which === "new" ? "/new" : `/jobs/${there.job}/${which}`}`);
    await page.getByRole("heading", { level: 1 }).waitFor();
    await page.locator(which === "new" ? "#system-0-name" : ".areacard .gaps, .areacard .verdict").first().waitFor();
    await fits();
    await accessible();
    await shot(`${which}-${name}`);
    await page.evaluate(() => {
      const sheet = [...document.styleSheets][0];
      sheet?.insertRule("html { font-size: 225% !important }", sheet.cssRules.length);
    });
    await fits();
    await shot(`${which}-${name}-200`);
  });
});
