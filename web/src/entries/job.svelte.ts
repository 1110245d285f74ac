/** One job as the page holds it: what the program has, with what this device said on top, at once. */

import { t } from "../parts/language";
import { blake3 } from "./blake3";
import { type Entry, type Fact, entry, thingOf } from "./entry";
import { type FileHeld, type HeldThing, type Made, type TheirThing, fold, spelled } from "./fold";
import { nextName } from "./ids";
import { CLOCK, type Clock, Queue, type Told, type Way } from "./queue";
import { type Shelf, type ToKeep, type Waiting, shelf } from "./shelf";
import { type FaultWritten, type Things, WAY, thingsOf } from "./way";
import { ownMark, who } from "./who.svelte";

export type { FileHeld, HeldThing, VersionHeld } from "./fold";

export interface Said {
  thing: string;
  value: unknown;
  reason?: string;
}

export interface JobStore {
  readonly job: string;
  readonly things: ReadonlyMap<string, HeldThing>;
  /** How many entries the program has not taken yet. */
  readonly waiting: number;
  /** Entries that the program refused, each with the reason. */
  readonly refused: readonly { id: string; thing: string; why: string }[];
  /** Why pushing or reading does not go on; it is tried again by itself. */
  readonly problem: string | null;
  /** Whether the program's things are here. */
  readonly ready: boolean;
  /** Whether neither the program nor this device knows the job. */
  readonly unknown: boolean;
  readonly faults: readonly FaultWritten[];
  /** Stated where it is new, else corrected: it replaces what counts, and settles a clash. */
  say(thing: string, value: unknown, reason?: string): Promise<void>;
  /** The same of several things, kept together or not at all. */
  sayAll(said: readonly Said[]): Promise<void>;
  withdraw(thing: string, reason: string): Promise<void>;
  attach(name: string, file: Blob): Promise<FileHeld>;
  /** Lets go of an entry that the program refused. */
  forget(id: string): Promise<void>;
  /** The next free name, `R017`. */
  nextName(kind: "feature" | "reading", prefix: string): string;
  /** Reads the program's things anew. */
  refresh(): Promise<void>;
}

/** What a store needs of the world. */
export interface World {
  shelf: Shelf;
  way: Way;
  clock: Clock;
  things(job: string): Promise<Things | null>;
  /** Tells other tabs that something of a job has changed, and hears it from them. */
  channel: Pick<BroadcastChannel, "postMessage"> & { onmessage: ((event: MessageEvent) => unknown) | null };
}

const SILENT: World["channel"] = { postMessage: () => undefined, onmessage: null };

export class HeldJob implements JobStore {
  things = $state.raw<ReadonlyMap<string, HeldThing>>(new Map());
  waiting = $state(0);
  refused = $state.raw<{ id: string; thing: string; why: string }[]>([]);
  problem = $state<string | null>(null);
  ready = $state(false);
  unknown = $state(false);
  faults = $state.raw<FaultWritten[]>([]);

  private theirs: TheirThing[] = [];
  private readonly made = new Map<string, Made>();
  private readonly keeping = new Set<string>();
  private readonly queue: Queue;
  private readonly first: Promise<void>;
  private reads = 0;

  constructor(
    readonly job: string,
    private readonly world: World,
    /** Whether the job is made here and now: nobody else can know of it. */
    fresh = false,
  ) {
    this.queue = new Queue(job, world.shelf, world.way, (told) => void this.told(told), world.clock);
    world.channel.onmessage = (event) => {
      if (event.data === job) void this.sync().then((gone) => (gone ? this.refresh() : undefined));
    };
    this.ready = fresh;
    this.first = fresh ? Promise.resolve() : this.begin();
  }

  private async begin(): Promise<void> {
    await this.sync();
    await this.refresh();
    this.queue.push();
  }

  push(): void {
    this.queue.push();
  }

  async refresh(): Promise<void> {
    const taken = [...this.made].filter(([, made]) => !made.waiting).map(([id]) => id);
    this.reads += 1;
    const read = this.reads;
    let held: Things | null;
    try {
      held = await this.world.things(this.job);
    } catch (why) {
      this.problem = why instanceof Error ? why.message : String(why);
      return;
    }
    // An answer that was asked for earlier knows less.
    if (read !== this.reads) return;
    this.theirs = held?.things ?? [];
    this.faults = held?.faults ?? [];
    for (const id of taken) {
      this.made.delete(id);
    }
    this.unknown = held === null && this.made.size === 0;
    this.ready = true;
    if (this.waiting === 0) this.problem = null;
    this.show();
  }

  /** What waits on the shelf, from other tabs too; says whether some was taken since. */
  private async sync(): Promise<boolean> {
    const on = await this.world.shelf.waiting(this.job);
    const ids = new Set(on.map((one) => one.id));
    let gone = false;
    for (const [id, made] of this.made) {
      if (made.waiting && !ids.has(id) && !this.keeping.has(id)) {
        made.waiting = false;
        gone = true;
      }
    }
    for (const one of on) {
      if (!this.made.has(one.id)) {
        this.made.set(one.id, { entry: JSON.parse(one.line) as Entry, waiting: true });
      }
    }
    this.note(on);
    this.show();
    return gone;
  }

  private note(on: readonly Waiting[]): void {
    const refused = on.filter((one) => one.refused !== null);
    this.refused = refused.map((one) => {
      const made = this.made.get(one.id);
      return { id: one.id, thing: made === undefined ? "" : thingOf(made.entry.fact), why: one.refused ?? "" };
    });
  }

  private show(): void {
    const off = new Set(this.refused.map((one) => one.id));
    const made = [...this.made.values()].filter(({ entry: { id } }) => !off.has(id));
    this.things = fold(this.theirs, made);
    this.waiting = made.filter((one) => one.waiting).length;
  }

  private async told(told: Told): Promise<void> {
    this.problem = told.problem;
    if (told.taken.length > 0) {
      await this.sync();
      this.world.channel.postMessage(this.job);
      if (this.waiting === 0) await this.refresh();
    }
  }

  /** Shows entries at once and keeps them; what cannot be kept is taken back. */
  private async keep(facts: readonly Fact[], files: ReadonlyMap<string, Blob> = new Map()): Promise<void> {
    if (facts.length === 0) return;
    const said = await who.known();
    const kept: ToKeep[] = facts.map((fact) => {
      const made = entry(said, fact);
      this.made.set(made.id, { entry: made, waiting: true });
      this.keeping.add(made.id);
      return { id: made.id, line: JSON.stringify(made), file: "attached" in fact ? fact.attached.hash : null };
    });
    this.unknown = false;
    this.show();
    // A browser that is short of room shall not throw away what nobody else has.
    if ("storage" in navigator) void navigator.storage.persist().catch(() => false);
    try {
      await this.queue.keep(kept, files);
    } catch (why) {
      for (const { id } of kept) {
        this.made.delete(id);
      }
      this.show();
      throw why;
    } finally {
      for (const { id } of kept) {
        this.keeping.delete(id);
      }
    }
    this.world.channel.postMessage(this.job);
  }

  private factOf({ thing, value, reason }: Said): Fact | null {
    const held = this.things.get(thing);
    if (held === undefined) {
      return { stated: { thing, value } };
    }
    if (held.state === "counts" && spelled(held.value) === spelled(value)) {
      return null;
    }
    const why = reason?.trim() ?? "";
    return { corrected: { thing, value, replaces: held.entries, reason: why === "" ? t("web-capture-mended-here") : why } };
  }

  say(thing: string, value: unknown, reason?: string): Promise<void> {
    return this.sayAll([reason === undefined ? { thing, value } : { thing, value, reason }]);
  }

  async sayAll(said: readonly Said[]): Promise<void> {
    await this.first;
    await who.known();
    // As a plain value: what a form is bound to may go on changing.
    const facts = said.map((one) => this.factOf({ ...one, value: JSON.parse(JSON.stringify(one.value)) as unknown }));
    await this.keep(facts.filter((fact) => fact !== null));
  }

  async withdraw(thing: string, reason: string): Promise<void> {
    await this.first;
    await who.known();
    const held = this.things.get(thing);
    if (held === undefined || held.state === "withdrawn") return;
    await this.keep([{ withdrawn: { thing, replaces: held.entries, reason } }]);
  }

  async attach(name: string, file: Blob): Promise<FileHeld> {
    await this.first;
    await who.known();
    const bytes = new Uint8Array(await file.arrayBuffer());
    const held = { hash: blake3(bytes), bytes: bytes.length };
    const before = this.things.get(`file/${name}`);
    if (before?.state !== "counts" || before.file?.hash !== held.hash) {
      await this.keep([{ attached: { name, ...held, replaces: before?.entries ?? [] } }], new Map([[held.hash, file]]));
    }
    return held;
  }

  async forget(id: string): Promise<void> {
    await this.world.shelf.drop(this.job, [id]);
    this.made.delete(id);
    await this.sync();
    this.world.channel.postMessage(this.job);
  }

  nextName(kind: "feature" | "reading", prefix: string): string {
    const names = [...this.things.values()].filter((held) => held.kind === kind).map((held) => held.name);
    return nextName(names, prefix, ownMark(this.job), kind === "reading" ? 3 : 1);
  }
}

const stores = new Map<string, HeldJob>();

function world(): World {
  const channel = typeof BroadcastChannel === "undefined" ? SILENT : new BroadcastChannel("tooth");
  return { shelf, way: WAY, clock: CLOCK, things: thingsOf, channel };
}

/** The store of a job: one for the whole page. */
export function jobStore(job: string, fresh = false): JobStore {
  const held = stores.get(job) ?? new HeldJob(job, world(), fresh);
  stores.set(job, held);
  return held;
}

/** Goes on pushing what waits of any job: at the start, and when the network is back. */
export async function pushAll(): Promise<void> {
  for (const job of await shelf.jobs()) {
    jobStore(job);
  }
  for (const store of stores.values()) {
    store.push();
  }
}
