import { cleanup, fireEvent, render, screen, waitFor } from "@testing-library/svelte";
import { afterEach, beforeEach, expect, test, vi } from "vitest";

import type { AreaPage, Fact, JobPage, Recommendation } from "../src/api/client";
import Area from "../src/pages/Area.svelte";
import Job from "../src/pages/Job.svelte";
import Busy from "../src/parts/Busy.svelte";
import Mark from "../src/parts/Mark.svelte";
import { reasonOf, said, thingOf, verbOf } from "../src/parts/entry";
import { KINDS, wordsOf } from "../src/plan/kinds";

const JOB = "75d40c34-9062-8bb5-b4ad-10612726440a";

afterEach(() => {
  cleanup();
  vi.useRealTimers();
  vi.unstubAllGlobals();
});

/** Answers every address with one document. */
function answer(body: unknown, status = 200): void {
  const reply = () => Promise.resolve(new Response(JSON.stringify(body), { status }));
  vi.stubGlobal("fetch", vi.fn(reply));
}

const card = {
  zone: "cafe",
  letter: "B",
  name: "Café",
  system: "Thin overlay",
  area: "672 ft² (62.4 m²)",
  recommendation: "test_more" as Recommendation,
  recommendation_words: "test more",
  because: "Not known yet: where tubes lie.",
  next: { what: "signed locate", how: "To know where tubes lie.", decides: true },
};

const area: AreaPage = {
  card,
  sheet: "sheet 2",
  profile: "CSP 3-5 (data sheet)",
  findings: [
    {
      code: "cracks",
      state: "repair",
      state_words: "repair first",
      reason: "C4 moves.",
      evidence: [{ thing: "feature/C4", name: "C4", says: "crack, 2 mm" }],
      source: "ACI 224.1R",
      certainty: "published",
      setting: "limits.repair_crack_width = 0.76 mm",
      overruled: null,
    },
    {
      code: "film",
      state: "fine",
      state_words: "fine",
      reason: "Water is drunk.",
      evidence: [],
      source: "common practice",
      certainty: "common practice",
      setting: "",
      overruled: null,
    },
  ],
  unknown: [{ what: "where tubes lie", test: "signed locate", count: 2, decides: true, leads_to: "located: cutting may start", costs: "150 USD", saves: null }],
  planned: true,
  not_planned: "",
  assumptions: ["The film is thin."],
  steps: [
    {
      name: "Diamond grinding",
      after_system: false,
      scope: "the whole area",
      amount: "672 ft² (62.4 m²)",
      passes: 2,
      hours: "6.5 h",
      wait: "24 h",
      cost: "USD 900",
      leaves: "CSP 3",
      edging: null,
      holds: ["signed locate"],
      first: ["shore below H1"],
      never: ["no saw over T1"],
      signed: [],
      verify: "chip ratings at three places",
      sketch: "<svg xmlns=\"http://www.w3.org/2000/svg\"/>",
      places: [],
      instruction: "Grind to bare concrete.",
      source: "from memory, verify",
    },
  ],
  hours: "6.5 h",
  before_system: ["Pull-off tests"],
  ruled_out: [{ reason: "no engines indoors", methods: ["shot blasting"] }],
  quantities: [{ item: "Overlay", amount: "0.2 m³", formula: "62.4 × 3.2 mm × 1.08", source: "plan geometry (computed)" }],
};

const job: JobPage = {
  job: JOB,
  name: "Larkspur Mill",
  invented: true,
  client: "Makers",
  site: "Weir Street",
  contractor: "Fieldgate",
  soundings: [{ name: "bay", says: "108 taps, 26 hollow" }],
  scans: [],
  areas: [card],
  price: {
    likely: "USD 30,000",
    low: "USD 26,000",
    high: "USD 36,000",
    hours: "300 h (260 h to 350 h)",
    contingency: "USD 4,000",
    drivers: [{ unknown: "hidden damage in C", share: "62 %", share_percent: 62 }],
    left_out: ["E"],
    provisional: ["B"],
    lines: [{ letter: null, item: "trips", hours: "0 h", total: "USD 95" }],
    machines: [{ name: "grinder", letters: ["B"], owned: true }],
    curve: "<svg xmlns=\"http://www.w3.org/2000/svg\"/>",
    build_up: "<svg xmlns=\"http://www.w3.org/2000/svg\"/>",
    tornado: "<svg xmlns=\"http://www.w3.org/2000/svg\"/>",
    ways: [
      { name: "this plan", cost: "USD 20,000", hours: "300 h", dust: "90 h", trades: "proven the best", differs: [] },
      { name: "least dust", cost: "USD 22,000", hours: "320 h", dust: "10 h", trades: "+USD 2,000, -80 h of dust", differs: ["Café: Wet floor grinding"] },
    ],
    bids: [{ bid: "USD 30,000", loss: "17 %", left: "USD 3,000" }],
    moisture: [{ letter: "D", finding: "Highest reading 93 %.", ways: [{ way: "mitigate", price: "+USD 1,200", why: "a coat" }] }],
    changes: [{ order: "C1", letter: "C", found: "loose skin, 9 ft²", price: "+USD 500", signed: null, proceed: false }],
    with_changes: "USD 30,500",
    learned: ["Floor grinding: 240 planned, 210 after 3 logged"],
  },
  unsettled: [{ about: "reading R1", versions: ["M. says 1", "K. says 2"] }],
  warnings: [],
  documents: [{ file: "condition-report.pdf", what: "for the client" }],
  issues: [],
  entries: 12,
  head: `12-${"0".repeat(64)}`,
  key: "1".repeat(64),
};

test("an area says first what to do, then what comes next, then why", async () => {
  answer(area);
  const { container } = render(Area, { job: JOB, zone: "cafe" });
  await screen.findByRole("heading", { level: 1 });
  const text = container.textContent ?? "";
  const order = ["test more", "Not known yet: where tubes lie", "Next:", "The recommendation hangs on it", "Why", "C4 moves.", "Steps", "Quantities"];
  const places = order.map((words) => text.indexOf(words));
  expect(places.every((place) => place >= 0), text).toBe(true);
  expect(places).toEqual([...places].sort((a, b) => a - b));
});

test("a finding leads to the entry that it rests on", async () => {
  answer(area);
  render(Area, { job: JOB, zone: "cafe" });
  const link = await screen.findByRole("link", { name: "C4" });
  expect(link.getAttribute("href")).toBe(`/jobs/${JOB}/history?thing=feature%2FC4`);
});

test("a step that waits for a signature says stop before its instruction", async () => {
  answer(area);
  const { container } = render(Area, { job: JOB, zone: "cafe" });
  await screen.findByText("Diamond grinding");
  const step = container.querySelector(".steps > li")?.textContent ?? "";
  expect(step.indexOf("Stop.")).toBeGreaterThan(0);
  expect(step.indexOf("Stop.")).toBeLessThan(step.indexOf("Grind to bare"));
  // What a release asks and forbids stands before it too.
  expect(step).toContain("First: shore below H1");
  expect(step.indexOf("Never: no saw over T1")).toBeLessThan(step.indexOf("Grind to bare"));
});

test("a quantity opens to its formula", async () => {
  answer(area);
  render(Area, { job: JOB, zone: "cafe" });
  const formula = await screen.findByText("62.4 × 3.2 mm × 1.08");
  expect(formula.closest("details")?.open).toBe(false);
  const summary = screen.getByText("Overlay").closest("summary");
  expect(summary).not.toBeNull();
});

test("what people say differently stands above the areas", async () => {
  answer(job);
  const { container } = render(Job, { job: JOB });
  await screen.findByText("M. says 1");
  const text = container.textContent ?? "";
  expect(text.indexOf("Not settled: reading R1")).toBeLessThan(text.indexOf("Areas"));
});

test("things that read alike are all shown", async () => {
  const twice = { ...job, unsettled: [{ about: "C4", versions: ["says crack", "says crack"] }] };
  twice.price = { ...job.price, drivers: [...job.price.drivers, ...job.price.drivers] };
  answer(twice);
  render(Job, { job: JOB });
  expect((await screen.findAllByText("says crack")).length).toBe(2);
});

test("a price on assumptions and areas left out of it are said beside it", async () => {
  answer(job);
  render(Job, { job: JOB });
  expect(await screen.findByText(/On assumptions: B/)).toBeDefined();
  expect(screen.getByText(/Not in the price: E/)).toBeDefined();
});

test("a job that cannot be read lists every fault with its place", async () => {
  const errors = [{ file: "plan.geojson", line: 12, field: "C1.width", expected: "a width", found: "nothing" }];
  answer({ title: "This job cannot be read", status: 422, detail: "", errors }, 422);
  render(Job, { job: JOB });
  expect(await screen.findByRole("alert")).toBeDefined();
  expect(screen.getByText(/plan.geojson, line 12, C1.width/)).toBeDefined();
});

test("a program that does not answer is said with what to do", async () => {
  vi.stubGlobal("fetch", () => Promise.reject(new TypeError("no connection")));
  render(Job, { job: JOB });
  expect(await screen.findByText(/Is tooth serve still running/)).toBeDefined();
});

test("a document under way is said with its seconds, and no second one is begun", async () => {
  answer(job);
  render(Job, { job: JOB });
  const button = await screen.findByRole("button", { name: "condition-report.pdf" });
  vi.stubGlobal("fetch", () => new Promise(() => undefined));
  await fireEvent.click(button);
  expect(screen.getByRole("status").textContent).toContain("Making condition-report.pdf");
  expect(button.getAttribute("aria-disabled")).toBe("true");
  await fireEvent.click(button);
  expect(screen.getAllByRole("status").length).toBe(1);
});

test("what takes longer than a second says for how long it has been at it", async () => {
  vi.useFakeTimers();
  render(Busy, { what: "Working" });
  expect(screen.getByRole("status").textContent).not.toContain(" s");
  await vi.advanceTimersByTimeAsync(3000);
  expect(screen.getByRole("status").textContent).toContain("3 s");
  // Who listens is not told every second.
  expect(screen.getByText("3 s").getAttribute("aria-hidden")).toBe("true");
});

test("every recommendation has a shape of its own", () => {
  const all: Recommendation[] = ["go", "repair_first", "test_more", "engineer", "do_not_bid"];
  const shapes = all.map((of) => {
    const { container, unmount } = render(Mark, { of });
    const shape = container.querySelector("svg")?.innerHTML ?? "";
    unmount();
    return shape;
  });
  expect(new Set(shapes).size).toBe(all.length);
});

test("no two kinds on the plan are drawn alike", () => {
  const drawn = Object.values(KINDS).map((kind) => JSON.stringify({ ...kind, words: "" }));
  expect(new Set(drawn).size).toBe(drawn.length);
  expect(wordsOf("something_new")).toBe("something new");
});

test("entries are told in words, with what a feature says of itself in front", () => {
  const stated: Fact = {
    stated: {
      thing: "feature/C1",
      value: { type: "Feature", properties: { kind: "crack", width: "2 mm" }, geometry: { type: "Point" } },
    },
  };
  expect(thingOf(stated)).toBe("feature/C1");
  expect(said(stated)[0]).toEqual(["kind", "crack"]);
  const erased: Fact = { erased: { hash: "ab", reason: "private" } };
  expect([verbOf(erased), reasonOf(erased), thingOf(erased)]).toEqual(["Erased a file's bytes", "private", null]);
});

beforeEach(() => {
  // The page under test is where its links point from.
  history.replaceState(null, "", `/jobs/${JOB}`);
});

test("nothing is asked of any other machine", async () => {
  answer(job);
  render(Job, { job: JOB });
  await screen.findByText("M. says 1");
  await waitFor(() => expect(vi.mocked(fetch)).toHaveBeenCalled());
  for (const [address] of vi.mocked(fetch).mock.calls) {
    expect(String(address)).toMatch(/^\/api\//);
  }
});
