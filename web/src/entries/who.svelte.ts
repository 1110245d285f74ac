/** Who works here, on which device: asked once, kept in the browser. */

import type { Who } from "./entry";
import { mark } from "./ids";

const kept = (name: string): string => localStorage.getItem(`tooth ${name}`) ?? "";
const keep = (name: string, value: string): void => localStorage.setItem(`tooth ${name}`, value);

/** One line without what the record does not take, at most so long. */
const line = (text: string): string =>
  text.replaceAll(/[\u0000-\u001f\u007f-\u009f]+/g, " ").trim().slice(0, 60);

class Worker {
  author = $state(kept("author"));
  device = $state(kept("device"));
  /** Whether the page shall ask now. */
  asking = $state(false);
  private waiting: { go: (who: Who) => void; leave: (why: Error) => void }[] = [];

  /** Who it is; asks where nobody has said. Fails where the person does not want to say. */
  known(): Promise<Who> {
    if (this.author !== "" && this.device !== "") {
      return Promise.resolve({ author: this.author, device: this.device });
    }
    this.asking = true;
    return new Promise((go, leave) => this.waiting.push({ go, leave }));
  }

  name(author: string, device: string): boolean {
    this.author = line(author);
    this.device = line(device);
    if (this.author === "" || this.device === "") {
      return false;
    }
    keep("author", this.author);
    keep("device", this.device);
    this.asking = false;
    for (const { go } of this.waiting.splice(0)) {
      go({ author: this.author, device: this.device });
    }
    return true;
  }

  leave(): void {
    this.asking = false;
    for (const { leave } of this.waiting.splice(0)) {
      leave(new Error("nobody was named"));
    }
  }
}

export const who = new Worker();

/** Jobs that this device began: their names need no mark of the device. */
const begun = (): string[] => JSON.parse(kept("begun") || "[]") as string[];

export function noteBegun(job: string): void {
  keep("begun", JSON.stringify([...begun(), job].slice(-200)));
}

/** What this device adds to names that it gives in a job. */
export function ownMark(job: string): string | null {
  if (begun().includes(job)) {
    return null;
  }
  const own = kept("mark") || mark();
  keep("mark", own);
  return own;
}
