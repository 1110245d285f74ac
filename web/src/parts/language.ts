/** The language of the page: its words come from the message files that the program tells from. */

import { FluentBundle, FluentResource, type FluentVariable } from "@fluent/bundle";

import english from "../../../crates/words/messages/en/web.ftl?raw";
import englishCapture from "../../../crates/words/messages/en/web_capture.ftl?raw";
import englishDraw from "../../../crates/words/messages/en/web_draw.ftl?raw";
import spanish from "../../../crates/words/messages/es/web.ftl?raw";
import spanishCapture from "../../../crates/words/messages/es/web_capture.ftl?raw";
import spanishDraw from "../../../crates/words/messages/es/web_draw.ftl?raw";

export type Language = "en" | "es";
export const LANGUAGES: readonly Language[] = ["en", "es"];

/** Under this name the browser keeps what a person chose. */
const KEPT = "language";

function bundle(tag: string, ...texts: string[]): FluentBundle {
  // Marks of direction round what is put in would be read out and searched for.
  const made = new FluentBundle(tag, { useIsolating: false });
  for (const text of texts) {
    made.addResource(new FluentResource(text));
  }
  return made;
}

const BUNDLES: Record<Language, FluentBundle> = {
  en: bundle("en-US", english, englishCapture, englishDraw),
  es: bundle("es-419", spanish, spanishCapture, spanishDraw),
};

const known = (tag: string): Language | undefined =>
  LANGUAGES.find((one) => tag.toLowerCase().split("-")[0] === one);

/** What was chosen here, else the first of the browser's languages that the page speaks. */
function chosen(): Language {
  const kept = known(localStorage.getItem(KEPT) ?? "");
  return kept ?? navigator.languages.map(known).find((one) => one !== undefined) ?? "en";
}

export const language: Language = chosen();
document.documentElement.lang = language;

/** Takes a language and loads the page anew: what the program told was in the other one. */
export function speak(wanted: Language): void {
  localStorage.setItem(KEPT, wanted);
  location.reload();
}

/** A message in a language; the English one where the language lacks it. */
export function read(
  wanted: Language,
  name: string,
  given: Record<string, FluentVariable> = {},
): string {
  for (const of of [BUNDLES[wanted], BUNDLES.en]) {
    const pattern = of.getMessage(name)?.value;
    if (pattern !== null && pattern !== undefined) {
      // Without a list for errors the first one would end the page.
      return of.formatPattern(pattern, given, []);
    }
  }
  return name;
}

/** A message in the page's language. Numbers are given in the language's form. */
export const t = (name: string, given: Record<string, FluentVariable | null> = {}): string =>
  read(
    language,
    name,
    Object.fromEntries(Object.entries(given).map(([key, value]) => [key, value ?? ""])),
  );
