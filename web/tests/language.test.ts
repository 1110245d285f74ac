import { afterEach, beforeEach, expect, test, vi } from "vitest";

import english from "../../crates/words/messages/en/web.ftl?raw";
import englishCapture from "../../crates/words/messages/en/web_capture.ftl?raw";
import englishDraw from "../../crates/words/messages/en/web_draw.ftl?raw";
import spanish from "../../crates/words/messages/es/web.ftl?raw";
import spanishCapture from "../../crates/words/messages/es/web_capture.ftl?raw";
import spanishDraw from "../../crates/words/messages/es/web_draw.ftl?raw";
import { LANGUAGES, read } from "../src/parts/language";
import { KINDS } from "../src/plan/kinds";
import { LAMPS } from "../src/texture/light";

const names = (text: string) => [...text.matchAll(/^([a-z][\w-]*) =/gm)].map((hit) => hit[1]);

beforeEach(() => vi.resetModules());
afterEach(() => {
  vi.unstubAllGlobals();
  localStorage.clear();
});

async function languageFor(languages: string[]): Promise<string> {
  vi.spyOn(navigator, "languages", "get").mockReturnValue(languages);
  return (await import("../src/parts/language")).language;
}

test("the browser's first language that the page speaks is taken, else English", async () => {
  expect(await languageFor(["de-DE", "es-MX", "en"])).toBe("es");
  expect(document.documentElement.lang).toBe("es");
  vi.resetModules();
  expect(await languageFor(["EN-GB", "es"])).toBe("en");
  vi.resetModules();
  expect(await languageFor(["fr"])).toBe("en");
});

test("what a person chose here goes before what the browser says", async () => {
  localStorage.setItem("language", "es");
  expect(await languageFor(["en-US"])).toBe("es");
});

test("every name that is put together has words in every language", () => {
  const together = [
    ...Object.keys(KINDS).map((kind) => `web-kind-${kind.replaceAll("_", "-")}`),
    ...LAMPS.map((lamp) => `web-lamp-${lamp.is}`),
    ...["consent", "feature", "file", "job", "locate", "machine", "method", "overrule", "plan", "reading", "system"].map((kind) => `web-capture-thing-${kind}`),
    ...["consent", "locate", "overrule"].map((kind) => `web-capture-is-${kind}`),
    ...["rectangle", "l", "sides"].map((shape) => `web-capture-shape-${shape}`),
    ...[0, 1, 2, 3].map((size) => `web-capture-size-${size}`),
  ];
  for (const language of LANGUAGES) {
    for (const name of together) {
      expect(read(language, name), `${name} in ${language}`).not.toBe(name);
    }
  }
});

test("both languages hold the same messages, and no text is the name of one", () => {
  expect(names(spanish)).toEqual(names(english));
  expect(names(spanishCapture)).toEqual(names(englishCapture));
  expect(names(spanishDraw)).toEqual(names(englishDraw));
  expect(names(english).length).toBeGreaterThan(200);
});

test("counts and numbers follow the language", () => {
  const given = { name: "Casa", count: 12_345 };
  expect(read("en", "web-history", given)).toMatch(/^Casa\. 12,345 entries, /);
  expect(read("es", "web-history", given)).toMatch(/^Casa\. 12,345 entradas, /);
  expect(read("es", "web-history", { ...given, count: 1 })).toMatch(/ 1 entrada, /);
});
