/** The microphone as it is: no echo, noise or gain of the device's own doing. */

export interface Microphone {
  rate: number;
  end(): void;
}

/** Hands on every piece of sound until it is ended. Throws where there is no microphone or no leave for it. */
export async function listen(piece: (samples: Float32Array) => void): Promise<Microphone> {
  const stream = await navigator.mediaDevices.getUserMedia({
    audio: { channelCount: 1, echoCancellation: false, noiseSuppression: false, autoGainControl: false },
  });
  const context = new AudioContext();
  try {
    await context.audioWorklet.addModule("/samples-worklet.js");
    const source = context.createMediaStreamSource(stream);
    const samples = new AudioWorkletNode(context, "samples", { numberOfOutputs: 0 });
    samples.port.onmessage = (event: MessageEvent<Float32Array>) => piece(event.data);
    source.connect(samples);
    await context.resume();
  } catch (why) {
    stream.getTracks().forEach((track) => track.stop());
    await context.close();
    throw why;
  }
  return {
    rate: context.sampleRate,
    end() {
      stream.getTracks().forEach((track) => track.stop());
      void context.close();
    },
  };
}
