/** Pushes what waits on the shelf until the program acknowledges it, in order and by one tab at a time. */

import type { Shelf, ToKeep, Waiting } from "./shelf";

export interface Outcome {
  id: string;
  outcome: "placed" | "known" | "refused";
  why: string | null;
}

/** What became of a push: outcomes, or why there are none and whether less at once may help. */
export type Answer = { outcomes: Outcome[] } | { failed: string; less: boolean; own: boolean };

/** The way to the program. An error that is thrown means that nobody answered. */
export interface Way {
  file(job: string, hash: string, blob: Blob): Promise<string | null>;
  entries(job: string, lines: readonly string[]): Promise<Answer>;
}

/** Most of one push: the program takes 1000 entries and 8 MiB. */
const [MOST, MOST_BYTES] = [500, 4 * 1024 * 1024];
const [SHORTEST, LONGEST] = [1000, 60_000];

export interface Told {
  /** Entries that the program has taken. */
  taken: string[];
  /** Why nothing goes on; none where it does. */
  problem: string | null;
}

/** Waits, or runs a thing alone among all tabs. Both can be replaced in a test. */
export interface Clock {
  wait(milliseconds: number): Promise<void>;
  alone<T>(name: string, run: () => Promise<T>): Promise<T>;
}

export const CLOCK: Clock = {
  wait: (milliseconds) => new Promise((go) => setTimeout(go, milliseconds)),
  // Where the browser has no locks two tabs may push the same, which changes nothing.
  alone: async (name, run) =>
    "locks" in navigator ? ((await navigator.locks.request(name, run)) as Awaited<ReturnType<typeof run>>) : run(),
};

export class Queue {
  private running = false;
  private wake: (() => void) | null = null;
  private again = false;

  constructor(
    readonly job: string,
    private readonly shelf: Shelf,
    private readonly way: Way,
    private readonly tell: (told: Told) => void,
    private readonly clock: Clock = CLOCK,
    private readonly chance: () => number = Math.random,
  ) {}

  /** Safe on the device when it returns; the push goes on by itself. */
  async keep(entries: readonly ToKeep[], files: ReadonlyMap<string, Blob> = new Map()): Promise<void> {
    await this.shelf.keep(this.job, entries, files);
    this.push();
  }

  waiting(): Promise<Waiting[]> {
    return this.shelf.waiting(this.job);
  }

  /** Tries now: something is new, or the way may be open again. */
  push(): void {
    this.again = true;
    this.wake?.();
    if (!this.running) {
      this.running = true;
      void this.run();
    }
  }

  private async run(): Promise<void> {
    let pause = SHORTEST;
    let most = MOST;
    while (this.again) {
      this.again = false;
      const told = await this.clock
        .alone(`tooth ${this.job}`, () => this.round(most))
        .catch((why: unknown) => ({ taken: [], problem: why instanceof Error ? why.message : String(why), less: false }));
      this.tell({ taken: told.taken, problem: told.problem });
      if (told.problem === null) {
        pause = SHORTEST;
        most = MOST;
        // What came in meanwhile, and what one push did not hold.
        this.again ||= told.taken.length > 0;
        continue;
      }
      most = told.less ? Math.max(1, Math.floor(most / 2)) : most;
      this.again = true;
      const woken = new Promise<void>((go) => (this.wake = go));
      // Many devices that lost one program do not all come back at the same moment.
      await Promise.race([woken, this.clock.wait(told.less ? 0 : pause * (0.5 + this.chance()))]);
      this.wake = null;
      pause = Math.min(LONGEST, pause * 2);
    }
    this.running = false;
  }

  private async round(most: number): Promise<Told & { less: boolean }> {
    const open = (await this.shelf.waiting(this.job)).filter((one) => one.refused === null);
    const batch: Waiting[] = [];
    let bytes = 0;
    for (const one of open) {
      // In text a character may take three bytes.
      bytes += one.line.length * 3 + 1;
      if (batch.length >= most || (batch.length > 0 && bytes > MOST_BYTES)) {
        break;
      }
      batch.push(one);
    }
    if (batch.length === 0) {
      return { taken: [], problem: null, less: false };
    }
    for (const one of batch) {
      const blob = one.file === null ? null : await this.shelf.file(this.job, one.file);
      const why = one.file === null || blob === null ? null : await this.way.file(this.job, one.file, blob);
      if (why !== null) {
        return { taken: [], problem: why, less: false };
      }
    }
    const answer = await this.way.entries(this.job, batch.map((one) => one.line));
    if ("failed" in answer) {
      const [only] = batch;
      if (answer.own && batch.length === 1 && only !== undefined) {
        await this.shelf.refuse(this.job, only.id, answer.failed);
        return { taken: [only.id], problem: null, less: false };
      }
      return { taken: [], problem: answer.failed, less: answer.less || (answer.own && batch.length > 1) };
    }
    const asked = new Set(batch.map((one) => one.id));
    const outcomes = answer.outcomes.filter((one) => asked.has(one.id));
    const taken = outcomes.filter((one) => one.outcome !== "refused").map((one) => one.id);
    for (const one of outcomes) {
      if (one.outcome === "refused") {
        await this.shelf.refuse(this.job, one.id, one.why ?? "");
      }
    }
    await this.shelf.drop(this.job, taken);
    // An answer about none of them would be asked for again without end.
    return { taken: outcomes.map((one) => one.id), problem: outcomes.length === 0 ? "" : null, less: false };
  }
}
