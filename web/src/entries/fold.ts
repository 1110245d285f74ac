/** What counts of each thing now: what the program holds, and then what still waits here. */

import { type Entry, replacedBy, thingOf } from "./entry";

export type HeldState = "counts" | "clash" | "withdrawn";

export interface FileHeld {
  hash: string;
  bytes: number;
}

/** One of the versions between which people differ. */
export interface VersionHeld {
  value: unknown;
  file: FileHeld | null;
  withdrawn: boolean;
  entries: string[];
  author: string | null;
  device: string | null;
  time: string | null;
  waiting: boolean;
}

export interface HeldThing {
  thing: string;
  kind: string;
  name: string;
  value: unknown;
  file: FileHeld | null;
  entries: string[];
  author: string | null;
  device: string | null;
  time: string | null;
  state: HeldState;
  waiting: boolean;
  /** Two or more where people differ, else none. */
  versions: VersionHeld[];
}

/** A thing as the program tells of it. */
export interface TheirThing {
  thing: string;
  versions: VersionHeld[];
}

export function partsOf(thing: string): { kind: string; name: string } {
  const at = thing.indexOf("/");
  return at < 0 ? { kind: thing, name: "" } : { kind: thing.slice(0, at), name: thing.slice(at + 1) };
}

/** A value in one spelling, whatever the order of its fields. */
export function spelled(value: unknown): string {
  return JSON.stringify(value, (_, inner: unknown) =>
    typeof inner === "object" && inner !== null && !Array.isArray(inner)
      ? Object.fromEntries(Object.entries(inner).sort(([one], [other]) => (one < other ? -1 : 1)))
      : inner,
  );
}

const content = (version: VersionHeld): string =>
  version.withdrawn ? "withdrawn" : version.file !== null ? `file ${version.file.hash}` : `value ${spelled(version.value)}`;

/** An entry of this device. */
export interface Made {
  entry: Entry;
  /** Whether the program has not taken it yet. */
  waiting: boolean;
}

function versionOf({ entry: made, waiting }: Made): VersionHeld {
  const { fact } = made;
  const file = "attached" in fact ? { hash: fact.attached.hash, bytes: fact.attached.bytes } : null;
  const value = "stated" in fact ? fact.stated.value : "corrected" in fact ? fact.corrected.value : null;
  return {
    value,
    file,
    withdrawn: "withdrawn" in fact,
    entries: [made.id],
    author: made.author,
    device: made.device,
    time: made.device_time,
    waiting,
  };
}

/** What was made of versions before: most things of a large job stay as they are. */
const known = new WeakMap<VersionHeld[], HeldThing>();

function heldOf(thing: string, versions: VersionHeld[]): HeldThing {
  const held = known.get(versions) ?? madeOf(thing, versions);
  known.set(versions, held);
  return held;
}

function madeOf(thing: string, versions: VersionHeld[]): HeldThing {
  const first = versions[0];
  const differ = first !== undefined && versions.some((version) => content(version) !== content(first));
  // In a clash a withdrawal does not hide what somebody else still states.
  const shown = versions.findLast((version) => !version.withdrawn) ?? versions.at(-1);
  return {
    thing,
    ...partsOf(thing),
    value: shown?.value ?? null,
    file: shown?.file ?? null,
    entries: versions.flatMap((version) => version.entries),
    author: shown?.author ?? null,
    device: shown?.device ?? null,
    time: shown?.time ?? null,
    state: differ ? "clash" : (shown?.withdrawn ?? true) ? "withdrawn" : "counts",
    waiting: versions.some((version) => version.waiting),
    versions: differ ? versions : [],
  };
}

/**
 * `made` are entries of this device in their order, those too that the program has taken since
 * it told of its things: an entry that stands in both counts once.
 */
export function fold(theirs: readonly TheirThing[], made: readonly Made[]): Map<string, HeldThing> {
  const versions = new Map<string, VersionHeld[]>();
  for (const held of theirs) {
    versions.set(held.thing, held.versions);
  }
  for (const one of made) {
    const thing = thingOf(one.entry.fact);
    const before = versions.get(thing) ?? [];
    if (before.some((version) => version.entries.includes(one.entry.id))) {
      continue;
    }
    const replaced = new Set(replacedBy(one.entry.fact));
    const left = before
      .map((version) => ({ ...version, entries: version.entries.filter((id) => !replaced.has(id)) }))
      .filter((version) => version.entries.length > 0);
    versions.set(thing, [...left, versionOf(one)]);
  }
  return new Map([...versions].map(([thing, all]) => [thing, heldOf(thing, all)]));
}
