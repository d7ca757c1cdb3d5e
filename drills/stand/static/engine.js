// Sound by the clock of the audio context. What sounds when is computed by the program; here it
// is only scheduled, ahead of time, each event at the sample nearest to its exact second.
//
// A loop (see docs/schema/loop.json) has a count-in, times through, and the seconds of its bar
// lines. Round k begins at origin + k * length. A change goes on at the next bar line with the
// same bar of another loop: what was scheduled from there on is taken back, and nothing else.

const LEAD = 0.5; // grace notes and early strokes may lie so long before their round
const EDGE = 1e-6;

export class Engine {
  constructor(context, out, sounds) {
    this.context = context;
    this.out = out;
    this.sounds = sounds; // Map: name of a struck sound -> AudioBuffer
    this.waves = new Map();
    this.loop = null;
    this.placed = []; // { at, end, stop } of what is scheduled and may be taken back
  }

  begin(loop, when) {
    this.loop = loop;
    this.origin = when + loop.count_in;
    this.round = 0;
    this.from = -Infinity; // of the next round only what lies from here on
    for (const event of loop.counted) this.place(event, when);
  }

  // All that begins before `until`; false where a round is not known yet.
  schedule(until) {
    while (this.loop && this.start(this.round) - LEAD < until) {
      const events = this.loop.rounds[this.round - this.loop.first];
      if (!events) return false;
      for (const event of events) if (event[0] >= this.from - EDGE) this.place(event, this.start(this.round));
      this.from = -Infinity;
      this.round += 1;
    }
    this.placed = this.placed.filter((one) => one.end > this.context.currentTime);
    return true;
  }

  start(round) {
    return this.origin + round * this.loop.length;
  }

  // The round that sounds at a time.
  roundAt(time) {
    return Math.max(0, Math.floor((time - this.origin) / this.loop.length + EDGE));
  }

  // Another loop from the next bar line after `after` on; returns when that is.
  change(loop, after) {
    const old = this.loop;
    let round = this.roundAt(after);
    let bar = old.bars.findIndex((at) => this.start(round) + at >= after - EDGE);
    if (bar < 0) [round, bar] = [round + 1, 0];
    const when = this.start(round) + old.bars[bar];
    for (const one of this.placed) if (one.at >= when - EDGE) one.stop();
    this.placed = this.placed.filter((one) => one.at < when - EDGE);
    const same = Math.min(bar, loop.bars.length - 1);
    this.loop = loop;
    this.origin = when - loop.bars[same] - round * loop.length;
    this.round = round;
    this.from = same || round ? loop.bars[same] : -Infinity;
    return when;
  }

  // More times through of the loop that sounds.
  more(loop) {
    this.loop = { ...loop, rounds: [...this.loop.rounds, ...loop.rounds.slice(Math.max(0, this.known - loop.first))], first: this.loop.first };
  }

  // The first round that is not known yet.
  get known() {
    return this.loop.first + this.loop.rounds.length;
  }

  // Ids of the written notes that sound at a time.
  notesAt(time) {
    if (!this.loop || time < this.origin) return [];
    const into = time - this.start(this.roundAt(time));
    return this.loop.notes.filter(([, on, off]) => on <= into && into < off).map(([id]) => id);
  }

  end() {
    const now = this.context.currentTime;
    for (const one of this.placed) one.stop(now);
    this.placed = [];
    this.loop = null;
  }

  sample(time) {
    return Math.round(time * this.context.sampleRate) / this.context.sampleRate;
  }

  place(event, from) {
    const at = this.sample(Math.max(0, from + event[0]));
    if (event.length === 3) this.strike(event, at);
    else this.tone(event, at, this.sample(from + event[4]));
  }

  strike([, gain, name], at) {
    const buffer = this.sounds.get(name);
    if (!buffer) return;
    const source = new AudioBufferSourceNode(this.context, { buffer });
    const level = new GainNode(this.context, { gain });
    source.connect(level).connect(this.out);
    source.start(at);
    source.onended = () => level.disconnect();
    this.placed.push({ at, end: at + buffer.duration, stop: () => level.disconnect() });
  }

  tone([, gain, wave, hertz, , [, attack, release]], at, end) {
    if (end <= at) return;
    const source = new OscillatorNode(this.context, { frequency: hertz, periodicWave: this.wave(wave) });
    const level = new GainNode(this.context, { gain: 0 });
    const rise = Math.min(attack, (end - at) / 3);
    const fall = Math.min(release, (end - at) / 2);
    level.gain.setValueAtTime(0, at);
    level.gain.linearRampToValueAtTime(gain, at + rise);
    level.gain.setValueAtTime(gain, end - fall);
    level.gain.linearRampToValueAtTime(0, end);
    source.connect(level).connect(this.out);
    source.start(at);
    source.stop(end);
    source.onended = () => level.disconnect();
    this.placed.push({ at, end, stop: () => level.disconnect() });
  }

  wave(name) {
    if (!this.waves.has(name)) {
      const levels = this.loop.waves[name] ?? [1];
      const imag = new Float32Array([0, ...levels]);
      this.waves.set(name, this.context.createPeriodicWave(new Float32Array(imag.length), imag));
    }
    return this.waves.get(name);
  }
}

// The way out: a level that starts low, then a limiter.
export function wayOut(context, level) {
  const volume = new GainNode(context, { gain: level });
  const limiter = new DynamicsCompressorNode(context, { threshold: -6, knee: 0, ratio: 20, attack: 0.001, release: 0.1 });
  volume.connect(limiter).connect(context.destination);
  return volume;
}

export async function soundsOf(context, names, known) {
  await Promise.all(
    names.map(async (name) => {
      if (known.has(name)) return;
      const answer = await fetch(`/sound/${name}?rate=${context.sampleRate}`);
      if (!answer.ok) throw new Error("a sound is missing; load the page again");
      const samples = new Float32Array(await answer.arrayBuffer());
      const buffer = new AudioBuffer({ length: samples.length, numberOfChannels: 1, sampleRate: context.sampleRate });
      buffer.copyToChannel(samples, 0);
      known.set(name, buffer);
    }),
  );
}
