// An audio worklet that hands on what it hears, with the frame of the audio clock at which it began.
class Tap extends AudioWorkletProcessor {
  process([input]) {
    if (input.length) this.port.postMessage({ frame: currentFrame, samples: input[0].slice() });
    return true;
  }
}
registerProcessor("tap", Tap);
