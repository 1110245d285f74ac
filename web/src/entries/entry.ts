/** Entries as the page makes them. What is stored, pushed and hashed is the line. */

import { uuid7 } from "./ids";

export type Fact =
  | { stated: { thing: string; value: unknown } }
  | { corrected: { thing: string; value: unknown; replaces: string[]; reason: string } }
  | { withdrawn: { thing: string; replaces: string[]; reason: string } }
  | { attached: { name: string; hash: string; bytes: number; replaces: string[] } };

export interface Entry {
  schema: 1;
  id: string;
  author: string | null;
  device: string;
  device_time: string;
  fact: Fact;
}

export interface Who {
  author: string | null;
  device: string;
}

export function entry(who: Who, fact: Fact, now: Date = new Date()): Entry {
  return {
    schema: 1,
    id: uuid7(),
    author: who.author,
    device: who.device,
    device_time: `${now.toISOString().slice(0, 19)}Z`,
    fact,
  };
}

export function thingOf(fact: Fact): string {
  if ("stated" in fact) return fact.stated.thing;
  if ("corrected" in fact) return fact.corrected.thing;
  if ("withdrawn" in fact) return fact.withdrawn.thing;
  return `file/${fact.attached.name}`;
}

export function replacedBy(fact: Fact): readonly string[] {
  if ("corrected" in fact) return fact.corrected.replaces;
  if ("withdrawn" in fact) return fact.withdrawn.replaces;
  if ("attached" in fact) return fact.attached.replaces;
  return [];
}
