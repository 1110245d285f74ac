/** Plays pieces of a recording. It is got whole, once: a tablet may lose its link. */
export class Player {
  /** Where it is, in seconds; null while it is silent. */
  now = $state<number | null>(null);
  /** While the recording is being got. */
  busy = $state(false);
  private audio: Promise<HTMLAudioElement> | null = null;
  private playing: HTMLAudioElement | null = null;
  private turn = 0;

  constructor(private readonly address: string) {}

  /** From one moment to another, in seconds. */
  async play(from: number, until: number): Promise<void> {
    if (this.busy) {
      return;
    }
    this.stop();
    this.busy = true;
    const turn = ++this.turn;
    try {
      this.audio ??= this.fetched();
      const audio = await this.audio;
      audio.currentTime = from;
      await audio.play();
      this.playing = audio;
    } catch (why) {
      this.audio = null;
      throw why;
    } finally {
      this.busy = false;
    }
    const follow = () => {
      const audio = this.playing;
      if (audio === null || this.turn !== turn) {
        return;
      }
      if (audio.currentTime >= until || audio.ended) {
        this.stop();
        return;
      }
      this.now = audio.currentTime;
      requestAnimationFrame(follow);
    };
    follow();
  }

  stop(): void {
    this.playing?.pause();
    this.playing = null;
    this.now = null;
  }

  end(): void {
    this.stop();
    this.turn += 1;
    void this.audio?.then((audio) => URL.revokeObjectURL(audio.src));
    this.audio = null;
  }

  private async fetched(): Promise<HTMLAudioElement> {
    const answer = await fetch(this.address);
    if (!answer.ok) {
      throw new Error(answer.statusText);
    }
    const audio = new Audio(URL.createObjectURL(await answer.blob()));
    await new Promise((ready, failed) => {
      audio.addEventListener("loadedmetadata", ready, { once: true });
      audio.addEventListener("error", failed, { once: true });
    });
    return audio;
  }
}
