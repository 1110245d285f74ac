/** The program's addresses for entries, as the queue and the store of a job need them. */

import type { Problem } from "../api/client";
import { language, t } from "../parts/language";
import type { TheirThing, VersionHeld } from "./fold";
import type { Answer, Outcome, Way } from "./queue";

const part = encodeURIComponent;

/** What is wrong with an answer, in words. */
async function problemOf(answer: Response): Promise<string> {
  const problem = (await answer.json().catch(() => null)) as Partial<Problem> | null;
  const words = [problem?.title, problem?.detail].filter((text) => text !== undefined && text !== "");
  return words.length > 0 ? words.join(". ") : t("web-program-answered", { status: answer.status });
}

const headers = (kind: string) => ({ "content-type": kind, accept: "application/json", "accept-language": language });

export const WAY: Way = {
  async file(job, hash, blob) {
    const answer = await fetch(`/api/jobs/${part(job)}/files/${part(hash)}`, {
      method: "PUT",
      headers: headers("application/octet-stream"),
      body: blob,
    }).catch(() => null);
    if (answer === null) return t("web-away");
    return answer.ok ? null : problemOf(answer);
  },

  async entries(job, lines): Promise<Answer> {
    const answer = await fetch(`/api/jobs/${part(job)}/entries`, {
      method: "POST",
      headers: headers("application/x-ndjson"),
      body: lines.map((line) => `${line}\n`).join(""),
    }).catch(() => null);
    if (answer === null) {
      return { failed: t("web-away"), less: false, own: false };
    }
    if (!answer.ok) {
      return { failed: await problemOf(answer), less: answer.status === 413, own: answer.status === 422 };
    }
    const pushed = (await answer.json().catch(() => ({ outcomes: [] }))) as { outcomes: Outcome[] };
    return { outcomes: pushed.outcomes };
  },
};

/** A version as the program writes it. */
interface VersionWritten {
  value?: unknown;
  file?: { hash: string; bytes: number } | null;
  withdrawn?: boolean;
  state?: string;
  entries?: string[];
  entry?: string;
  author?: string | null;
  device?: string | null;
  device_time?: string | null;
}

interface ThingWritten extends VersionWritten {
  thing: string;
  entries: string[];
  versions?: VersionWritten[];
}

export interface FaultWritten {
  file: string;
  line: number | null;
  field: string;
  expected: string;
  found: string;
  thing?: string | null;
}

export interface Things {
  name: string | null;
  things: TheirThing[];
  faults: FaultWritten[];
}

function versionOf(written: VersionWritten): VersionHeld {
  return {
    value: written.value ?? null,
    file: written.file ?? null,
    withdrawn: written.withdrawn ?? written.state === "withdrawn",
    entries: written.entries ?? (written.entry === undefined ? [] : [written.entry]),
    author: written.author ?? null,
    device: written.device ?? null,
    time: written.device_time ?? null,
    waiting: false,
  };
}

/** What the program holds of a job; none where it knows no such job. */
export async function thingsOf(job: string): Promise<Things | null> {
  const answer = await fetch(`/api/jobs/${part(job)}/things`, { headers: headers("application/json") }).catch(() => null);
  if (answer === null) throw new Error(t("web-away"));
  if (answer.status === 404) return null;
  if (!answer.ok) throw new Error(await problemOf(answer));
  const written = (await answer.json()) as { name?: string | null; things: ThingWritten[]; faults?: FaultWritten[] };
  return {
    name: written.name ?? null,
    things: written.things.map((one) => ({
      thing: one.thing,
      versions: (one.versions?.length ?? 0) > 0 ? (one.versions ?? []).map(versionOf) : [versionOf(one)],
    })),
    faults: written.faults ?? [],
  };
}
