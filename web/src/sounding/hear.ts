/**
 * A light ear for taps while they are struck: it tells a person at once that a tap was heard,
 * missed or doubled. What the taps mean is told by the program from the recording itself.
 */

export interface Heard {
  /** Seconds from the beginning of the recording. */
  time: number;
  /** Greatest sample of the blow, of 1. */
  peak: number;
}

/** Length of one look at the sound, in seconds. */
const LOOK = 0.004;
/** After a blow nothing is taken for another for so long: a hammer bounces. */
const DEAF = 0.18;
/** A blow rises over what was heard before it by this much, in power. */
const RISE = 8;
/** A blow has at least this share of the power of the blows before it. */
const SHARE = 0.002;
/** Quietest blow, as mean square of the differences of neighbouring samples. */
const LEAST = 2e-6;
/** From here on the recording is cut off. */
const CUT_OFF = 0.985;

/** Hears taps in a stream of samples, handed over in pieces of any length. */
export class Ear {
  private last = 0;
  private power = 0;
  private peak = 0;
  private count = 0;
  private looks = 0;
  private quiet = LEAST;
  private before: number[] = [];
  private blows: number[] = [];
  private pending: { look: number; power: number; peak: number } | null = null;
  /** The greatest sample of the last piece, of 1. */
  level = 0;
  /** Samples that were cut off so far. */
  cutOff = 0;

  constructor(readonly rate: number) {}

  /** Seconds heard so far. */
  get time(): number {
    return this.looks * LOOK;
  }

  hear(samples: Float32Array): Heard[] {
    const heard: Heard[] = [];
    const length = Math.round(this.rate * LOOK);
    this.level = 0;
    for (const sample of samples) {
      // Differences let rumble, wind and hum go by.
      const step = sample - this.last;
      this.last = sample;
      this.power += step * step;
      const size = Math.abs(sample);
      this.peak = Math.max(this.peak, size);
      this.level = Math.max(this.level, size);
      if (size >= CUT_OFF) {
        this.cutOff += 1;
      }
      this.count += 1;
      if (this.count === length) {
        const blow = this.look(this.power / length, this.peak);
        if (blow !== null) {
          heard.push(blow);
        }
        this.power = this.peak = this.count = 0;
      }
    }
    return heard;
  }

  private look(power: number, peak: number): Heard | null {
    const look = this.looks;
    this.looks += 1;
    const pending = this.pending;
    if (pending !== null) {
      // The blow is told once its greatest part is over.
      if (power > pending.power) {
        pending.power = power;
        pending.peak = Math.max(pending.peak, peak);
      }
      if ((look - pending.look) * LOOK >= DEAF) {
        this.pending = null;
        this.before = [];
        const usual = middle(this.blows);
        if (pending.power >= usual * SHARE) {
          this.blows = [...this.blows.slice(-14), pending.power];
          return { time: pending.look * LOOK, peak: pending.peak };
        }
      }
      return null;
    }
    const around = Math.max(middle(this.before), this.quiet);
    if (this.before.length >= 3 && power > LEAST && power > RISE * around && power >= middle(this.blows) * SHARE) {
      this.pending = { look, power, peak };
      return null;
    }
    this.before = [...this.before.slice(-7), power];
    // The room's own noise: up slowly, down at once.
    this.quiet = power < this.quiet ? Math.max(power, 1e-9) : this.quiet * 1.005;
    return null;
  }
}

function middle(of: readonly number[]): number {
  const sorted = [...of].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)] ?? 0;
}

/** A recording of one channel as a WAV file of 16 bits. */
export function wav(pieces: readonly Float32Array[], rate: number): Blob {
  const samples = pieces.reduce((sum, piece) => sum + piece.length, 0);
  const bytes = new DataView(new ArrayBuffer(44 + 2 * samples));
  const text = (at: number, word: string) => [...word].forEach((letter, place) => bytes.setUint8(at + place, letter.charCodeAt(0)));
  text(0, "RIFF");
  bytes.setUint32(4, 36 + 2 * samples, true);
  text(8, "WAVEfmt ");
  bytes.setUint32(16, 16, true);
  bytes.setUint16(20, 1, true);
  bytes.setUint16(22, 1, true);
  bytes.setUint32(24, rate, true);
  bytes.setUint32(28, rate * 2, true);
  bytes.setUint16(32, 2, true);
  bytes.setUint16(34, 16, true);
  text(36, "data");
  bytes.setUint32(40, 2 * samples, true);
  let at = 44;
  for (const piece of pieces) {
    for (const sample of piece) {
      bytes.setInt16(at, Math.round(Math.max(-1, Math.min(1, sample)) * 32767), true);
      at += 2;
    }
  }
  return new Blob([bytes.buffer], { type: "audio/wav" });
}
