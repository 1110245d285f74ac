import { afterEach, beforeEach, expect, test, vi } from "vitest";

import { blake3 } from "../src/entries/blake3";
import { type Entry, entry, replacedBy, thingOf } from "../src/entries/entry";
import { type TheirThing, type VersionHeld, fold } from "../src/entries/fold";
import { nextName, uuid7 } from "../src/entries/ids";
import { HeldJob, type World } from "../src/entries/job.svelte";
import { type Answer, type Clock, type Outcome, Queue, type Way } from "../src/entries/queue";
import { MemoryShelf } from "../src/entries/shelf";
import { noteBegun, ownMark, who } from "../src/entries/who.svelte";

const JOB = "019a0000-0000-7000-8000-000000000001";
const ANA = { author: "Ana Ruiz", device: "tablet 3" };

/** Chance that comes out the same again. */
function seeded(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296;
  };
}

/** A program that takes entries, with a line that fails in every way. */
class Program {
  readonly entries: Entry[] = [];
  readonly files = new Set<string>();
  readonly never = new Set<string>();

  constructor(private readonly chance: () => number) {}

  take(line: string): Outcome {
    const one = JSON.parse(line) as Entry;
    if (this.never.has(one.id)) return { id: one.id, outcome: "refused", why: "no such thing" };
    if ("attached" in one.fact && !this.files.has(one.fact.attached.hash)) {
      return { id: one.id, outcome: "refused", why: "no such file" };
    }
    if (this.entries.some((known) => known.id === one.id)) return { id: one.id, outcome: "known", why: null };
    this.entries.push(one);
    return { id: one.id, outcome: "placed", why: null };
  }

  readonly way: Way = {
    file: async (_, hash) => {
      await Promise.resolve();
      if (this.chance() < 0.2) return "away";
      this.files.add(hash);
      return this.chance() < 0.2 ? "the answer was lost" : null;
    },
    entries: async (_, lines): Promise<Answer> => {
      await Promise.resolve();
      const fate = this.chance();
      if (fate < 0.2) return { failed: "away", less: false, own: false };
      if (fate < 0.25) throw new TypeError("no connection");
      // Only a part was taken before the line broke.
      const reached = fate < 0.35 ? lines.slice(0, Math.ceil(lines.length / 2)) : lines;
      const outcomes = reached.map((line) => this.take(line));
      if (fate < 0.5) return { failed: "the answer was lost", less: false, own: false };
      // The same came twice.
      if (fate < 0.6) return { outcomes: lines.map((line) => this.take(line)) };
      if (fate < 0.65 && lines.length > 1) return { failed: "too large", less: true, own: false };
      return { outcomes };
    },
  };

  things(): TheirThing[] {
    const held = fold([], this.entries.map((one) => ({ entry: one, waiting: false })));
    return [...held.values()].map((one) => ({
      thing: one.thing,
      versions: one.versions.length > 0 ? one.versions : [{ ...one, withdrawn: one.state === "withdrawn", waiting: false }],
    }));
  }
}

/** Moments pass without waiting; who asks for a lock gets it in turn, as among tabs. */
function clock(): Clock {
  let last: Promise<unknown> = Promise.resolve();
  return {
    wait: () => new Promise((go) => setImmediate(go)),
    alone: (_, run) => {
      const mine = last.then(run);
      last = mine.catch(() => undefined);
      return mine;
    },
  };
}

async function until(holds: () => boolean | Promise<boolean>): Promise<void> {
  for (let tries = 0; tries < 20_000; tries += 1) {
    if (await holds()) return;
    await new Promise((go) => setImmediate(go));
  }
  throw new Error("it did not come");
}

function stated(thing: string, value: unknown): Entry {
  return entry(ANA, { stated: { thing, value } });
}

const kept = (one: Entry) => ({ id: one.id, line: JSON.stringify(one), file: "attached" in one.fact ? one.fact.attached.hash : null });

test("ids of one device are of version 7, all different, and ascend", () => {
  const ids = Array.from({ length: 9000 }, (_, at) => uuid7(1_790_000_000_000 - (at % 7)));
  expect(ids.every((id) => /^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/.test(id))).toBe(true);
  expect([...ids].sort()).toEqual(ids);
  expect(new Set(ids).size).toBe(ids.length);
});

test("names go on after the highest; a second device adds its mark", () => {
  expect(nextName([], "R", null, 3)).toBe("R001");
  expect(nextName(["R001", "R099-k3mf", "C7"], "R", null, 3)).toBe("R100");
  expect(nextName(["C7", "C12"], "C", "k3mf", 1)).toBe("C13-k3mf");
  localStorage.clear();
  noteBegun(JOB);
  expect(ownMark(JOB)).toBeNull();
  expect(ownMark("another")).toMatch(/^[a-z2-9]{4}$/);
  expect(ownMark("another")).toBe(ownMark("a third"));
});

test("the hash is BLAKE3", () => {
  // The official test vectors: bytes 0, 1, … 250, 0, 1, …
  const bytes = (length: number) => Uint8Array.from({ length }, (_, at) => at % 251);
  const short = (length: number) => blake3(bytes(length)).slice(0, 16);
  expect(blake3(bytes(0))).toBe("af1349b9f5f9a1a6a0404dea36dcc9499bcb25c9adc112b7cc9a93cae41f3262");
  const known = {
    1: "2d3adedff11b61f1", 1023: "10108970eeda3eb9", 1024: "42214739f095a406", 1025: "d00278ae47eb27b3",
    2048: "e776b6028c7cd22a", 2049: "5f4d72f40d7a5f82", 3072: "b98cb0ff3623be03", 3073: "7124b49501012f81",
    4096: "015094013f57a527", 4097: "9b4052b38f1c5fc8", 5120: "9cadc15fed8b5d85", 31744: "62b6960e1a44bcc1",
    102400: "bc3e3d41a1146b06",
  };
  for (const [length, begins] of Object.entries(known)) {
    expect(short(Number(length)), length).toBe(begins);
  }
});

test("a correction replaces, a second word clashes, settling ends it", () => {
  const first = stated("reading/R1", { value: "12" });
  const other = stated("reading/R1", { value: "14" });
  const made = (list: Entry[]) => list.map((one) => ({ entry: one, waiting: true }));
  const held = fold([], made([first, other])).get("reading/R1");
  expect([held?.state, held?.versions.length, held?.value]).toEqual(["clash", 2, { value: "14" }]);
  const settled = entry(ANA, {
    corrected: { thing: "reading/R1", value: { value: "12" }, replaces: [first.id, other.id], reason: "read again" },
  });
  expect(fold([], made([first, other, settled])).get("reading/R1")).toMatchObject({ state: "counts", entries: [settled.id] });
  const gone = entry(ANA, { withdrawn: { thing: "reading/R1", replaces: [settled.id], reason: "wrong place" } });
  expect(fold([], made([first, other, settled, gone])).get("reading/R1")?.state).toBe("withdrawn");
  // The order of fields is no difference.
  const alike = [stated("plan", { a: 1, b: [{ c: 2, d: 3 }] }), stated("plan", { b: [{ d: 3, c: 2 }], a: 1 })];
  expect(fold([], made(alike)).get("plan")?.state).toBe("counts");
});

test("what the program has already counts once", () => {
  const one = stated("reading/R1", { value: "12" });
  const version: VersionHeld = { value: { value: "12" }, file: null, withdrawn: false, entries: [one.id], author: "Ana Ruiz", device: "x", time: null, waiting: false };
  const held = fold([{ thing: "reading/R1", versions: [version] }], [{ entry: one, waiting: true }]).get("reading/R1");
  expect([held?.state, held?.entries, held?.waiting]).toEqual(["counts", [one.id], false]);
});

test.each(Array.from({ length: 60 }, (_, seed) => seed))("nothing is lost or doubled on a bad line, seed %i", async (seed) => {
  const chance = seeded(seed);
  const program = new Program(chance);
  const [shelf, time] = [new MemoryShelf(), clock()];
  const pick = (most: number) => Math.floor(chance() * most);
  // Tabs over one shelf; a tab that is closed never hears of its push.
  const tabs = Array.from({ length: 3 }, () => new Queue(JOB, shelf, program.way, () => undefined, time, chance));
  const all: Entry[] = [];
  for (let at = 0; at < 40; at += 1) {
    const tab = tabs[pick(tabs.length)];
    const hash = `hash ${at}`;
    const one = chance() < 0.2
      ? entry(ANA, { attached: { name: `photos/${at}.jpg`, hash, bytes: 3, replaces: [] } })
      : stated(`reading/R${at}`, { value: String(at) });
    if (chance() < 0.1) program.never.add(one.id);
    all.push(one);
    await tab?.keep([kept(one)], "attached" in one.fact ? new Map([[hash, new Blob(["abc"])]]) : new Map());
    if (chance() < 0.1) tabs[pick(tabs.length)] = new Queue(JOB, shelf, program.way, () => undefined, time, chance);
    if (chance() < 0.5) await new Promise((go) => setImmediate(go));
  }
  for (const tab of tabs) tab.push();
  await until(async () => (await shelf.waiting(JOB)).every((one) => one.refused !== null));
  const wanted = all.filter((one) => !program.never.has(one.id)).map((one) => one.id);
  expect(program.entries.map((one) => one.id)).toEqual(wanted);
  // What was refused is not lost either: a person decides.
  const refused = (await shelf.waiting(JOB)).map((one) => one.id);
  expect(refused).toEqual(all.filter((one) => program.never.has(one.id)).map((one) => one.id));
  const bytes = all.filter((one) => "attached" in one.fact && !program.never.has(one.id));
  for (const one of bytes) {
    expect(await shelf.file(JOB, "attached" in one.fact ? one.fact.attached.hash : "")).toBeNull();
  }
});

beforeEach(() => {
  localStorage.clear();
  who.name("Ana Ruiz", "tablet 3");
});
afterEach(() => vi.restoreAllMocks());

function worldOf(program: Program, shelf = new MemoryShelf(), time = clock()): World {
  return {
    shelf,
    way: program.way,
    clock: time,
    things: () => Promise.resolve(program.entries.length === 0 ? null : { name: "", things: program.things(), faults: [] }),
    channel: { postMessage: () => undefined, onmessage: null },
  };
}

test("what is said is shown at once, survives a reload, and arrives", async () => {
  const open = new Program(() => 0.9);
  const shelf = new MemoryShelf();
  let away = true;
  const way: Way = {
    file: (...given) => (away ? Promise.resolve("away") : open.way.file(...given)),
    entries: (...given) => (away ? Promise.resolve({ failed: "away", less: false, own: false }) : open.way.entries(...given)),
  };
  const world = { ...worldOf(open, shelf), way };
  const before = new HeldJob(JOB, world);
  await before.say("reading/R001", { kind: "water_drop", value: "12" });
  await before.say("reading/R001", { kind: "water_drop", value: "21" }, "figures swapped");
  await before.say("reading/R001", { value: "21", kind: "water_drop" });
  const file = await before.attach("photos/a.jpg", new Blob(["abc"]));
  expect(file.bytes).toBe(3);
  expect(before.waiting).toBe(3);
  expect(before.things.get("reading/R001")).toMatchObject({ state: "counts", waiting: true, value: { value: "21" } });
  expect(before.nextName("reading", "R")).toMatch(/^R002/);
  // Another tab, or the same after a reload.
  const after = new HeldJob(JOB, world);
  await until(() => after.ready);
  expect(after.things.get("reading/R001")?.value).toEqual({ kind: "water_drop", value: "21" });
  expect(after.unknown).toBe(false);
  away = false;
  after.push();
  await until(() => after.waiting === 0 && after.things.get("reading/R001")?.waiting === false);
  expect(open.entries.map((one) => thingOf(one.fact))).toEqual(["reading/R001", "reading/R001", "file/photos/a.jpg"]);
  expect(replacedBy(open.entries[1]?.fact ?? open.entries[0]!.fact)).toEqual([open.entries[0]?.id]);
  await after.withdraw("reading/R001", "wrong slab");
  await until(() => after.waiting === 0);
  expect(after.things.get("reading/R001")?.state).toBe("withdrawn");
});

test.each(Array.from({ length: 25 }, (_, seed) => seed))("two devices see the same in the end, seed %i", async (seed) => {
  const chance = seeded(seed + 1000);
  const program = new Program(chance);
  const devices = [0, 1].map(() => new HeldJob(JOB, worldOf(program)));
  const said: Promise<void>[] = [];
  for (let at = 0; at < 30; at += 1) {
    const device = devices[at % 2];
    const thing = `reading/R${Math.floor(chance() * 5)}`;
    if (device === undefined) continue;
    said.push(chance() < 0.15 ? device.withdraw(thing, "no") : device.say(thing, { value: String(Math.floor(chance() * 4)) }, "so"));
    if (chance() < 0.4) await new Promise((go) => setImmediate(go));
  }
  await Promise.all(said);
  await until(() => devices.every((device) => device.waiting === 0));
  for (const device of devices) await device.refresh();
  const ids = program.entries.map((one) => one.id);
  expect(new Set(ids).size).toBe(ids.length);
  const shown = devices.map((device) => [...device.things.values()].map(({ thing, state, entries }) => [thing, state, entries]));
  expect(shown[0]).toEqual(shown[1]);
});

test("an entry that the program refuses stops no other and can be let go", async () => {
  const program = new Program(() => 0.9);
  const job = new HeldJob(JOB, worldOf(program));
  vi.spyOn(program, "take").mockImplementationOnce((line) => ({ id: (JSON.parse(line) as Entry).id, outcome: "refused", why: "no" }));
  await job.say("reading/R001", { value: "1" });
  await until(() => job.refused.length === 1);
  await job.say("reading/R002", { value: "2" });
  await until(() => job.waiting === 0 && program.entries.length === 1);
  expect(job.refused).toMatchObject([{ thing: "reading/R001", why: "no" }]);
  expect(job.things.has("reading/R001")).toBe(false);
  await job.forget(job.refused[0]?.id ?? "");
  expect(job.refused).toEqual([]);
});

test("a person who does not want to be named says nothing", async () => {
  const job = new HeldJob(JOB, worldOf(new Program(() => 0.9)));
  who.author = "";
  const said = job.say("reading/R001", { value: "1" });
  await until(() => who.asking);
  who.leave();
  await expect(said).rejects.toThrow();
  expect(job.things.size).toBe(0);
});
