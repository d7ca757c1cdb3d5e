// The microphone, untouched, to samples; samples to a WAV file.

export async function microphone() {
  if (!navigator.mediaDevices?.getUserMedia)
    throw new Error("this browser gives a page no microphone here; record with your device and drop the file in");
  try {
    return await navigator.mediaDevices.getUserMedia({
      audio: { echoCancellation: false, noiseSuppression: false, autoGainControl: false, channelCount: 1 },
    });
  } catch (error) {
    throw new Error("the microphone was refused or is not there; allow it for this page, or drop a file in");
  }
}

export class Recording {
  constructor(context, stream) {
    this.context = context;
    this.stream = stream;
    this.pieces = [];
  }

  async begin() {
    await this.context.audioWorklet.addModule("/static/tap.js");
    this.source = new MediaStreamAudioSourceNode(this.context, { mediaStream: this.stream });
    this.tap = new AudioWorkletNode(this.context, "tap", { numberOfOutputs: 1 });
    this.tap.port.onmessage = ({ data }) => {
      this.first ??= data.frame;
      this.pieces.push(data.samples);
    };
    // Joined to the way out by nothing that sounds, so that it is pulled.
    this.mute = new GainNode(this.context, { gain: 0 });
    this.source.connect(this.tap).connect(this.mute).connect(this.context.destination);
  }

  // Seconds of the audio clock at which the recording began.
  get began() {
    return (this.first ?? 0) / this.context.sampleRate;
  }

  end() {
    this.source.disconnect();
    this.tap.disconnect();
    this.mute.disconnect();
    for (const track of this.stream.getTracks()) track.stop();
    const length = this.pieces.reduce((sum, piece) => sum + piece.length, 0);
    const samples = new Float32Array(length);
    let at = 0;
    for (const piece of this.pieces) {
      samples.set(piece, at);
      at += piece.length;
    }
    return samples;
  }
}

// 16-bit PCM, mono (Multimedia Programming Interface and Data Specifications 1.0, WAVE form).
export function wav(samples, rate) {
  const view = new DataView(new ArrayBuffer(44 + 2 * samples.length));
  const text = (at, word) => [...word].forEach((letter, n) => view.setUint8(at + n, letter.charCodeAt(0)));
  text(0, "RIFF");
  view.setUint32(4, 36 + 2 * samples.length, true);
  text(8, "WAVEfmt ");
  view.setUint32(16, 16, true);
  view.setUint16(20, 1, true);
  view.setUint16(22, 1, true);
  view.setUint32(24, rate, true);
  view.setUint32(28, 2 * rate, true);
  view.setUint16(32, 2, true);
  view.setUint16(34, 16, true);
  text(36, "data");
  view.setUint32(40, 2 * samples.length, true);
  samples.forEach((value, n) => view.setInt16(44 + 2 * n, Math.round(Math.min(1, Math.max(-1, value)) * 32767), true));
  return new Blob([view], { type: "audio/wav" });
}
