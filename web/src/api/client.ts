/** What the page reads from the program on this machine. Types come from its description. */

import { language, t } from "../parts/language";
import type { components } from "./types";

type Schemas = components["schemas"];
export type Jobs = Schemas["Jobs"];
export type JobListed = Schemas["JobListed"];
export type JobPage = Schemas["JobPage"];
export type AreaCard = Schemas["AreaCard"];
export type AreaPage = Schemas["AreaPage"];
export type Finding = Schemas["FindingShown"];
export type FindingState = Schemas["FindingState"];
export type PlanPage = Schemas["PlanPage"];
export type PlanObject = Schemas["PlanObject"];
export type Drawn = Schemas["Drawn"];
export type FieldsPage = Schemas["FieldsPage"];
export type History = Schemas["History"];
export type HistoryEntry = Schemas["HistoryEntry"];
export type Fact = Schemas["Fact"];
export type Recommendation = Schemas["Recommendation"];
export type ScanPage = Schemas["ScanPage"];
export type Relief = Schemas["ReliefShown"];
export type SoundingPage = Schemas["SoundingPage"];
export type Tap = Schemas["TapShown"];
export type TapClass = Schemas["ClassOut"];
export type Price = Schemas["PriceShown"];
export type Step = Schemas["StepShown"];
export type Problem = Schemas["Problem"];

/** An answer that is not there, with the reason in words. */
export class Refused extends Error {
  constructor(readonly problem: Problem) {
    super(problem.title);
  }
}

const AWAY: Problem = {
  title: t("web-away"),
  status: 0,
  detail: t("web-away-do"),
  errors: [],
};

async function read<T>(address: string): Promise<T> {
  let answer: Response;
  try {
    answer = await fetch(address, {
      headers: { accept: "application/json", "accept-language": language },
    });
  } catch {
    throw new Refused(AWAY);
  }
  if (!answer.ok) {
    const problem = (await answer.json().catch(() => ({
      ...AWAY,
      title: t("web-not-read"),
      status: answer.status,
    }))) as Problem;
    throw new Refused(problem);
  }
  return (await answer.json()) as T;
}

const part = encodeURIComponent;

export const api = {
  jobs: () => read<Jobs>("/api/jobs"),
  job: (job: string) => read<JobPage>(`/api/jobs/${part(job)}`),
  area: (job: string, zone: string) => read<AreaPage>(`/api/jobs/${part(job)}/areas/${part(zone)}`),
  plan: (job: string) => read<PlanPage>(`/api/jobs/${part(job)}/plan`),
  history: (job: string, thing: string | null) =>
    read<History>(
      `/api/jobs/${part(job)}/history${thing === null ? "" : `?thing=${part(thing)}`}`,
    ),
  scan: (job: string, name: string) =>
    read<ScanPage>(`/api/jobs/${part(job)}/scans/${part(name)}`),
  sounding: (job: string, name: string) =>
    read<SoundingPage>(`/api/jobs/${part(job)}/soundings/${part(name)}`),
  recording: (job: string, name: string) =>
    `/api/jobs/${part(job)}/soundings/${part(name)}/recording`,
  spectra: (job: string, name: string) =>
    `/api/jobs/${part(job)}/soundings/${part(name)}/spectra`,
  document: (job: string, file: string) => `/api/jobs/${part(job)}/documents/${part(file)}`,
  issued: (job: string, number: number, file: string) =>
    `/api/jobs/${part(job)}/issues/${number}/${part(file)}`,
  fields: () => read<FieldsPage>("/api/fields"),
  file: (job: string, hash: string) => `/api/jobs/${part(job)}/files/${part(hash)}`,
  photo: (job: string, file: string) => `/api/jobs/${part(job)}/photos/${part(file)}`,
};
