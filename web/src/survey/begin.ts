/** The least that the readers of a job ask for, and what a firm need not type twice. */

import type { Said } from "../entries/job.svelte";
import type { PlanUnit } from "../forms/length";

export interface Kept {
  contractor: string;
  units: PlanUnit;
  currency: string;
  power: string;
  /** Rates and money as this firm has them: tables of its last job. */
  rates?: unknown;
  money?: unknown;
}

const NAME = "tooth firm";

export function kept(): Kept {
  const usual: Kept = { contractor: "", units: navigator.language.endsWith("US") ? "ft" : "m", currency: "USD", power: "single_phase" };
  try {
    return { ...usual, ...(JSON.parse(localStorage.getItem(NAME) ?? "{}") as Partial<Kept>) };
  } catch {
    return usual;
  }
}

export function keep(of: Partial<Kept>): void {
  localStorage.setItem(NAME, JSON.stringify({ ...kept(), ...of }));
}

export interface Begun {
  name: string;
  contractor: string;
  units: PlanUnit;
  currency: string;
  client: string;
  site: string;
  setting: string;
  support: string;
  tensioned: string;
  power: string;
}

/** Tables of the job. Rates are those of the firm's last job, else the program's usual ones. */
export function starters(of: Begun): Said[] {
  const sign = of.currency;
  const rates = { labour: `55 ${sign}/h`, disposal: `0.35 ${sign}/kg`, liquid_disposal: `0.24 ${sign}/L`, trip: `80 ${sign}`, working_day: "8 h", crew: 2 };
  const money = { overhead: "18 %", margin: "15 %" };
  const firm = kept();
  const alike = firm.currency === sign;
  return [
    { thing: "job", value: { schema: 1, name: of.name, contractor: of.contractor, units: of.units === "ft" ? "us" : "si", currency: sign, patch_rule: "partial_depth", machines_owned: [] } },
    { thing: "job/client", value: { name: of.client, site: of.site } },
    { thing: "job/slab", value: { setting: of.setting, support: of.support, post_tensioned: of.tensioned } },
    { thing: "job/constraints", value: { power: of.power } },
    { thing: "job/rates", value: (alike ? firm.rates : undefined) ?? rates },
    { thing: "job/money", value: (alike ? firm.money : undefined) ?? money },
  ];
}
