/** Hands on what the microphone gives, untouched, in pieces of about 20 ms. */
class Samples extends AudioWorkletProcessor {
  constructor() {
    super();
    this.held = new Float32Array(1024);
    this.count = 0;
  }

  process([input]) {
    const channel = input[0];
    if (channel === undefined) {
      return true;
    }
    for (const sample of channel) {
      this.held[this.count] = sample;
      this.count += 1;
      if (this.count === this.held.length) {
        this.port.postMessage(this.held, [this.held.buffer]);
        this.held = new Float32Array(1024);
        this.count = 0;
      }
    }
    return true;
  }
}

registerProcessor("samples", Samples);
