import { expect, test } from "vitest";

import { placeOf, to } from "../src/route.svelte";

const JOB = "75d40c34-9062-8bb5-b4ad-10612726440a";

test("every address that the page writes leads back to where it points", () => {
  expect(placeOf(to.jobs(), "")).toEqual({ page: "jobs" });
  expect(placeOf(to.job(JOB), "")).toEqual({ page: "job", job: JOB });
  expect(placeOf(to.area(JOB, "wash bay/2"), "")).toEqual({ page: "area", job: JOB, zone: "wash bay/2" });
  const [path = "", query = ""] = to.history(JOB, "file/photos/a b.jpg").split("?");
  expect(placeOf(path, query)).toEqual({ page: "history", job: JOB, thing: "file/photos/a b.jpg" });
  const [plan = "", show = ""] = to.plan(JOB, "feature/C1").split("?");
  expect(placeOf(plan, show)).toEqual({ page: "plan", job: JOB, chosen: "feature/C1" });
});

test("an address that is none leads nowhere", () => {
  for (const path of ["/x", "/%E0%A4%A", "/jobs", "/jobs/1/areas", "/jobs/1/areas/a/b", "/jobs/1/other"]) {
    expect(placeOf(path, ""), path).toEqual({ page: "nowhere" });
  }
});
