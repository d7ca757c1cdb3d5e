// A block that sounds: asks for loops, keeps them scheduled ahead, lights the notes.

import { change } from "./asking.js";
import { Engine, soundsOf, wayOut } from "./engine.js";

const AHEAD = 2.5; // seconds: a hidden page is woken once a second only
const EVERY = 40; // milliseconds
const SOON = 0.06; // a change is in time for a bar line that is so far away
const ROUNDS = 16;
export const LOW = 0.15; // the level that every page starts with

export class Playing {
  constructor(where, lit) {
    this.where = where; // score, part, at
    this.lit = lit;
    this.sounds = new Map();
    this.level = LOW;
    this.turn = 0;
  }

  get context() {
    if (!this.audio) {
      this.audio = new AudioContext({ latencyHint: "interactive" });
      this.out = wayOut(this.audio, this.level);
      this.engine = new Engine(this.audio, this.out, this.sounds);
    }
    return this.audio;
  }

  setLevel(level) {
    this.level = level;
    this.out?.gain.setTargetAtTime(level, this.audio.currentTime, 0.02);
  }

  get sounding() {
    return Boolean(this.engine?.loop);
  }

  ask(choices, first) {
    return change("/api/loop", { ...this.where, ...choices, first, rounds: ROUNDS });
  }

  // From the count-in on; resolves with the second of the audio clock at which it begins.
  async begin(choices) {
    const mine = ++this.turn;
    const context = this.context;
    const resumed = context.resume();
    const loop = this.next?.key === JSON.stringify(choices) ? this.next.loop : await this.ask(choices, 0);
    await Promise.all([resumed, soundsOf(context, loop.sounds, this.sounds)]);
    if (mine !== this.turn) return null;
    this.engine.end();
    this.choices = choices;
    const when = context.currentTime + 0.03;
    this.engine.begin(loop, when);
    clearInterval(this.timer);
    this.timer = setInterval(() => this.tick(), EVERY);
    this.tick();
    this.draw();
    return { when, loop };
  }

  // What is likely to be asked for next, so that the press is heard at once.
  async ready(choices) {
    const key = JSON.stringify(choices);
    const loop = await this.ask(choices, 0);
    this.next = { key, loop };
    return loop;
  }

  async change(choices) {
    const mine = ++this.turn;
    const loop = await this.ask(choices, this.engine.roundAt(this.audio.currentTime));
    await soundsOf(this.audio, loop.sounds, this.sounds);
    if (mine !== this.turn || !this.sounding) return null;
    this.choices = choices;
    const when = this.engine.change(loop, this.audio.currentTime + SOON);
    this.tick();
    return { when, loop };
  }

  tick() {
    if (!this.sounding) return;
    this.engine.schedule(this.audio.currentTime + AHEAD);
    if (!this.asking && this.engine.known - this.engine.round < ROUNDS / 2) this.fetchMore();
  }

  async fetchMore() {
    this.asking = true;
    const mine = this.turn;
    try {
      const loop = await this.ask(this.choices, this.engine.known);
      if (mine === this.turn && this.sounding) this.engine.more(loop);
    } catch {
      // asked again at the next tick; what is known goes on sounding
    } finally {
      this.asking = false;
    }
  }

  draw() {
    if (!this.sounding) {
      this.lit([]);
      return;
    }
    this.lit(this.engine.notesAt(this.audio.currentTime - (this.audio.outputLatency || 0)));
    requestAnimationFrame(() => this.draw());
  }

  end() {
    this.turn += 1;
    clearInterval(this.timer);
    this.engine?.end();
    this.lit([]);
  }
}
