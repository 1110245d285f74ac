/** Waits that a test asks for. They are kept by the time at which they end: a closed browser loses none. */

import { t } from "../parts/language";

export interface Timer {
  id: string;
  name: string;
  /** Milliseconds of the clock. */
  ends: number;
  /** Where one goes on when it has ended. */
  address: string;
}

const KEPT = "tooth timers";

function read(): Timer[] {
  try {
    const kept = JSON.parse(localStorage.getItem(KEPT) ?? "[]") as Timer[];
    return kept.filter((one) => typeof one.ends === "number" && typeof one.name === "string");
  } catch {
    return [];
  }
}

/** What is left, as a clock shows it: `0:45`, `15:00`, `23:59:59`, `71 h`. */
export function leftOf(milliseconds: number): string {
  const seconds = Math.max(0, Math.ceil(milliseconds / 1000));
  const two = (number: number) => String(number).padStart(2, "0");
  const [hours, minutes] = [Math.floor(seconds / 3600), Math.floor((seconds % 3600) / 60)];
  return hours > 0 ? `${hours}:${two(minutes)}:${two(seconds % 60)}` : `${minutes}:${two(seconds % 60)}`;
}

class Timers {
  list = $state.raw<Timer[]>(read());
  now = $state(Date.now());
  private clock: ReturnType<typeof setInterval> | undefined;
  private sound: AudioContext | null = null;
  private title = "";

  constructor() {
    addEventListener("storage", (event) => {
      if (event.key === KEPT) this.list = read();
      this.wind();
    });
    this.wind();
  }

  get ended(): Timer[] {
    return this.list.filter((one) => one.ends <= this.now);
  }

  start(name: string, seconds: number, address: string): void {
    const id = `${Date.now()}-${this.list.length}`;
    this.keep([...this.list, { id, name, ends: Date.now() + seconds * 1000, address }]);
    // Browsers give sound only to a page that was touched.
    this.sound ??= typeof AudioContext === "undefined" ? null : new AudioContext();
    void this.sound?.resume().catch(() => undefined);
  }

  stop(id: string): void {
    this.keep(this.list.filter((one) => one.id !== id));
  }

  private keep(list: Timer[]): void {
    this.list = list.sort((one, other) => one.ends - other.ends);
    localStorage.setItem(KEPT, JSON.stringify(this.list));
    this.wind();
  }

  private wind(): void {
    this.now = Date.now();
    if (this.list.length > 0) {
      this.clock ??= setInterval(() => this.tick(), 1000);
    } else {
      clearInterval(this.clock);
      this.clock = undefined;
      this.untitle();
    }
  }

  private tick(): void {
    this.now = Date.now();
    const [first] = this.ended;
    if (first === undefined) {
      this.untitle();
      return;
    }
    if (this.title === "") this.title = document.title;
    const words = t("web-capture-timer-done", { name: first.name });
    document.title = document.title === words ? this.title : words;
    // Every five seconds of the first two minutes.
    const since = Math.floor((this.now - first.ends) / 1000);
    if (since < 120 && since % 5 === 0) this.ring();
  }

  private untitle(): void {
    if (this.title !== "") document.title = this.title;
    this.title = "";
  }

  private ring(): void {
    const { sound } = this;
    if (sound === null || sound.state !== "running") return;
    for (const [at, pitch] of [[0, 880], [0.25, 660], [0.5, 880]] as const) {
      const [tone, loud] = [sound.createOscillator(), sound.createGain()];
      tone.frequency.value = pitch;
      loud.gain.value = 0.25;
      tone.connect(loud).connect(sound.destination);
      tone.start(sound.currentTime + at);
      tone.stop(sound.currentTime + at + 0.2);
    }
  }
}

export const timers = new Timers();
