/** The program's addresses for entries, as the queue and the store of a job need them. */

import { type Problem, api } from "../api/client";
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

const idIn = (line: string): string => (JSON.parse(line) as { id?: string }).id ?? "";

const headers = (kind: string) => ({ "content-type": kind, accept: "application/json", "accept-language": language });

export const WAY: Way = {
  async file(job, hash, blob) {
    const answer = await fetch(api.file(job, hash), {
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
    const pushed = (await answer.json().catch(() => ({ outcomes: [] }))) as { outcomes: (Omit<Outcome, "id"> & { line: number; id: string | null })[] };
    // A line that tells no id is known by its place among those that were sent.
    return { outcomes: pushed.outcomes.map((one) => ({ ...one, id: one.id ?? idIn(lines[one.line - 1] ?? "{}") })) };
  },
};

/** A version as the program writes it: without value and file it withdraws the thing. */
interface VersionWritten {
  value: unknown;
  file: { hash: string; bytes: number } | null;
  author: string | null;
  device: string;
  device_time: string | null;
}

interface ThingWritten extends VersionWritten {
  thing: string;
  entries: string[];
  versions: (VersionWritten & { entry: string })[];
}

export interface FaultWritten {
  file: string;
  line: number | null;
  field: string;
  expected: string;
  found: string;
  thing: string | null;
}

export interface Things {
  name: string;
  things: TheirThing[];
  faults: FaultWritten[];
}

const versionOf = (written: VersionWritten, entries: string[]): VersionHeld => ({
  value: written.value,
  file: written.file,
  withdrawn: written.value === null && written.file === null,
  entries,
  author: written.author,
  device: written.device,
  time: written.device_time,
  waiting: false,
});

/** What the program holds of a job; none where it knows no such job. */
export async function thingsOf(job: string): Promise<Things | null> {
  const answer = await fetch(`/api/jobs/${part(job)}/things`, { headers: headers("application/json") }).catch(() => null);
  if (answer === null) throw new Error(t("web-away"));
  if (answer.status === 404) return null;
  if (!answer.ok) throw new Error(await problemOf(answer));
  const written = (await answer.json()) as { name: string; things: ThingWritten[]; faults: (FaultWritten & { severity: string })[] };
  return {
    name: written.name,
    things: written.things.map((one) => ({
      thing: one.thing,
      versions: one.versions.length > 0 ? one.versions.map((version) => versionOf(version, [version.entry])) : [versionOf(one, one.entries)],
    })),
    faults: written.faults.filter((fault) => fault.severity === "fault"),
  };
}
