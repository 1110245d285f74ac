/** The page's own addresses: where one is, and how one gets elsewhere. */

import { tick } from "svelte";

export type Place =
  | { page: "jobs" }
  | { page: "job"; job: string }
  | { page: "area"; job: string; zone: string }
  | { page: "plan"; job: string; chosen: string | null }
  | { page: "draw"; job: string }
  | { page: "history"; job: string; thing: string | null }
  | { page: "sounding"; job: string; name: string }
  | { page: "scan"; job: string; name: string }
  | { page: "new" }
  | { page: "survey"; job: string; test: string | null; zone: string | null }
  | { page: "decide"; job: string }
  | { page: "nowhere" };

export function placeOf(path: string, query: string): Place {
  let parts: string[];
  try {
    parts = path.split("/").filter((part) => part !== "").map(decodeURIComponent);
  } catch {
    return { page: "nowhere" };
  }
  const asked = new URLSearchParams(query);
  const [first, job, page, last] = parts;
  if (first === undefined) {
    return { page: "jobs" };
  }
  if (first === "new" && job === undefined) {
    return { page: "new" };
  }
  if (first !== "jobs" || job === undefined || parts.length > 4) {
    return { page: "nowhere" };
  }
  if (page === undefined) {
    return { page: "job", job };
  }
  if (page === "areas" && last !== undefined) {
    return { page: "area", job, zone: last };
  }
  if (page === "plan" && last === undefined) {
    return { page: "plan", job, chosen: asked.get("show") };
  }
  if (page === "draw" && last === undefined) {
    return { page: "draw", job };
  }
  if (page === "scans" && last !== undefined) {
    return { page: "scan", job, name: last };
  }
  if (page === "soundings" && last !== undefined) {
    return { page: "sounding", job, name: last };
  }
  if (page === "history" && last === undefined) {
    return { page: "history", job, thing: asked.get("thing") };
  }
  if (page === "survey" && last === undefined) {
    return { page: "survey", job, test: asked.get("test"), zone: asked.get("zone") };
  }
  if (page === "decide" && last === undefined) {
    return { page: "decide", job };
  }
  return { page: "nowhere" };
}

export const to = {
  jobs: () => "/",
  job: (job: string) => `/jobs/${job}`,
  area: (job: string, zone: string) => `/jobs/${job}/areas/${encodeURIComponent(zone)}`,
  plan: (job: string, show?: string) =>
    `/jobs/${job}/plan${show === undefined ? "" : `?show=${encodeURIComponent(show)}`}`,
  draw: (job: string) => `/jobs/${job}/draw`,
  sounding: (job: string, name: string) => `/jobs/${job}/soundings/${encodeURIComponent(name)}`,
  new: () => "/new",
  survey: (job: string) => `/jobs/${job}/survey`,
  decide: (job: string) => `/jobs/${job}/decide`,
  scan: (job: string, name: string) => `/jobs/${job}/scans/${encodeURIComponent(name)}`,
  history: (job: string, thing?: string) =>
    `/jobs/${job}/history${thing === undefined ? "" : `?thing=${encodeURIComponent(thing)}`}`,
};

class Route {
  place = $state<Place>(placeOf(location.pathname, location.search));

  constructor() {
    history.scrollRestoration = "manual";
    addEventListener("popstate", () => {
      this.read();
      void this.scrollBack();
    });
    // Links of the page's own go on without loading it anew.
    document.addEventListener("click", (event) => this.follow(event));
  }

  go(address: string): void {
    history.replaceState({ at: scrollY }, "");
    history.pushState(null, "", address);
    this.read();
    scrollTo(0, 0);
  }

  /** The same page, shown otherwise: it keeps its place among the pages. */
  mark(address: string): void {
    history.replaceState(history.state, "", address);
  }

  /** Back is where one was, as soon as the page is long enough again. */
  private async scrollBack(): Promise<void> {
    const state = history.state as { at?: number } | null;
    const at = state?.at ?? 0;
    await tick();
    for (let tries = 0; tries < 300; tries += 1) {
      await new Promise((next) => requestAnimationFrame(next));
      const busy = document.querySelector("main .busy") !== null;
      if (!busy && document.documentElement.scrollHeight - innerHeight >= at) {
        break;
      }
    }
    scrollTo(0, at);
  }

  private read(): void {
    this.place = placeOf(location.pathname, location.search);
  }

  private follow(event: MouseEvent): void {
    const link = event.target instanceof Element ? event.target.closest("a") : null;
    const plain =
      event.button === 0 && !event.metaKey && !event.ctrlKey && !event.shiftKey && !event.altKey;
    if (link === null || !plain || event.defaultPrevented) {
      return;
    }
    const there = new URL(link.href);
    const own = there.origin === location.origin && !there.pathname.startsWith("/api/");
    if (!own || link.target !== "" || link.hasAttribute("download") || there.hash !== "") {
      return;
    }
    event.preventDefault();
    this.go(there.pathname + there.search);
  }
}

export const route = new Route();
