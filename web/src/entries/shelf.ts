/** Where entries and files wait on the device: in the browser's database, through reload and power cut. */

export interface Waiting {
  /** The order in which it was made, over all tabs. */
  place: number;
  job: string;
  id: string;
  /** The entry's exact bytes, as text. */
  line: string;
  /** Hash of the file that must be there before it. */
  file: string | null;
  /** Why the program refused it; it waits for a person then. */
  refused: string | null;
}

export type ToKeep = Pick<Waiting, "id" | "line" | "file">;

export interface Shelf {
  /** All of them or none; they are safe when it returns. */
  keep(job: string, entries: readonly ToKeep[], files: ReadonlyMap<string, Blob>): Promise<void>;
  /** What waits of a job, in order. */
  waiting(job: string): Promise<Waiting[]>;
  /** Jobs of which something waits. */
  jobs(): Promise<string[]>;
  file(job: string, hash: string): Promise<Blob | null>;
  refuse(job: string, id: string, why: string): Promise<void>;
  /** Lets go of entries, and of files that no other entry waits for. */
  drop(job: string, ids: readonly string[]): Promise<void>;
}

const [ENTRIES, FILES] = ["entries", "files"] as const;

const done = <T>(request: IDBRequest<T>): Promise<T> =>
  new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error ?? new Error("the browser's database failed"));
  });

const ended = (of: IDBTransaction): Promise<void> =>
  new Promise((resolve, reject) => {
    of.oncomplete = () => resolve();
    of.onabort = of.onerror = () => reject(of.error ?? new Error("the browser's database failed"));
  });

/** The shelf in IndexedDB. */
export class BrowserShelf implements Shelf {
  private database: Promise<IDBDatabase> | null = null;

  private open(): Promise<IDBDatabase> {
    const request = indexedDB.open("tooth", 1);
    request.onupgradeneeded = () => {
      const entries = request.result.createObjectStore(ENTRIES, { keyPath: "place", autoIncrement: true });
      entries.createIndex("job", "job");
      entries.createIndex("id", ["job", "id"], { unique: true });
      request.result.createObjectStore(FILES, { keyPath: ["job", "hash"] });
    };
    this.database ??= done(request).catch((why: unknown) => {
      this.database = null;
      throw why;
    });
    return this.database;
  }

  private async begin(mode: IDBTransactionMode): Promise<{ of: IDBTransaction; entries: IDBObjectStore; files: IDBObjectStore }> {
    const of = (await this.open()).transaction([ENTRIES, FILES], mode, { durability: "strict" });
    return { of, entries: of.objectStore(ENTRIES), files: of.objectStore(FILES) };
  }

  async keep(job: string, kept: readonly ToKeep[], blobs: ReadonlyMap<string, Blob>): Promise<void> {
    const { of, entries, files } = await this.begin("readwrite");
    for (const [hash, blob] of blobs) {
      files.put({ job, hash, blob });
    }
    for (const one of kept) {
      entries.add({ job, id: one.id, line: one.line, file: one.file, refused: null });
    }
    await ended(of);
  }

  async waiting(job: string): Promise<Waiting[]> {
    const { entries } = await this.begin("readonly");
    const all = (await done(entries.index("job").getAll(job))) as Waiting[];
    return all.sort((one, other) => one.place - other.place);
  }

  async jobs(): Promise<string[]> {
    const { entries } = await this.begin("readonly");
    const all = (await done(entries.getAll())) as Waiting[];
    return [...new Set(all.map((one) => one.job))];
  }

  async file(job: string, hash: string): Promise<Blob | null> {
    const { files } = await this.begin("readonly");
    const held = (await done(files.get([job, hash]))) as { blob: Blob } | undefined;
    return held?.blob ?? null;
  }

  async refuse(job: string, id: string, why: string): Promise<void> {
    const { of, entries } = await this.begin("readwrite");
    const held = (await done(entries.index("id").get([job, id]))) as Waiting | undefined;
    if (held !== undefined) {
      entries.put({ ...held, refused: why });
    }
    await ended(of);
  }

  async drop(job: string, ids: readonly string[]): Promise<void> {
    const { of, entries, files } = await this.begin("readwrite");
    const gone = new Set(ids);
    const all = (await done(entries.index("job").getAll(job))) as Waiting[];
    const left = new Set(all.filter((one) => !gone.has(one.id)).map((one) => one.file));
    for (const one of all.filter((held) => gone.has(held.id))) {
      entries.delete(one.place);
      if (one.file !== null && !left.has(one.file)) {
        files.delete([job, one.file]);
      }
    }
    await ended(of);
  }
}

/** The same in memory: for tests, and for browsers that keep nothing. */
export class MemoryShelf implements Shelf {
  private place = 0;
  private entries: Waiting[] = [];
  private readonly files = new Map<string, Blob>();

  keep(job: string, kept: readonly ToKeep[], blobs: ReadonlyMap<string, Blob>): Promise<void> {
    if (kept.some((one) => this.entries.some((held) => held.job === job && held.id === one.id))) {
      return Promise.reject(new Error("kept twice"));
    }
    for (const [hash, blob] of blobs) {
      this.files.set(`${job}/${hash}`, blob);
    }
    for (const one of kept) {
      this.place += 1;
      this.entries.push({ ...one, place: this.place, job, refused: null });
    }
    return Promise.resolve();
  }

  waiting(job: string): Promise<Waiting[]> {
    return Promise.resolve(this.entries.filter((one) => one.job === job).map((one) => ({ ...one })));
  }

  jobs(): Promise<string[]> {
    return Promise.resolve([...new Set(this.entries.map((one) => one.job))]);
  }

  file(job: string, hash: string): Promise<Blob | null> {
    return Promise.resolve(this.files.get(`${job}/${hash}`) ?? null);
  }

  refuse(job: string, id: string, why: string): Promise<void> {
    for (const one of this.entries) {
      if (one.job === job && one.id === id) {
        one.refused = why;
      }
    }
    return Promise.resolve();
  }

  drop(job: string, ids: readonly string[]): Promise<void> {
    const gone = this.entries.filter((one) => one.job === job && ids.includes(one.id));
    this.entries = this.entries.filter((one) => !gone.includes(one));
    for (const { file } of gone) {
      if (file !== null && !this.entries.some((one) => one.job === job && one.file === file)) {
        this.files.delete(`${job}/${file}`);
      }
    }
    return Promise.resolve();
  }
}

/** The shelf of this browser. */
export const shelf: Shelf = typeof indexedDB === "undefined" ? new MemoryShelf() : new BrowserShelf();
