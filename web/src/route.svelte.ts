/** The page's own addresses: where one is, and how one gets elsewhere. */

export type Place =
  | { page: "jobs" }
  | { page: "job"; job: string }
  | { page: "area"; job: string; zone: string }
  | { page: "plan"; job: string; chosen: string | null }
  | { page: "history"; job: string; thing: string | null }
  | { page: "nowhere" };

export function placeOf(path: string, query: string): Place {
  const parts = path.split("/").filter((part) => part !== "").map(decodeURIComponent);
  const asked = new URLSearchParams(query);
  const [first, job, page, last] = parts;
  if (first === undefined) {
    return { page: "jobs" };
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
  if (page === "history" && last === undefined) {
    return { page: "history", job, thing: asked.get("thing") };
  }
  return { page: "nowhere" };
}

export const to = {
  jobs: () => "/",
  job: (job: string) => `/jobs/${job}`,
  area: (job: string, zone: string) => `/jobs/${job}/areas/${encodeURIComponent(zone)}`,
  plan: (job: string, show?: string) =>
    `/jobs/${job}/plan${show === undefined ? "" : `?show=${encodeURIComponent(show)}`}`,
  history: (job: string, thing?: string) =>
    `/jobs/${job}/history${thing === undefined ? "" : `?thing=${encodeURIComponent(thing)}`}`,
};

class Route {
  place = $state<Place>(placeOf(location.pathname, location.search));

  constructor() {
    addEventListener("popstate", () => this.read());
    // Links of the page's own go on without loading it anew.
    document.addEventListener("click", (event) => this.follow(event));
  }

  go(address: string): void {
    history.pushState(null, "", address);
    this.read();
    scrollTo(0, 0);
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
