// Changes of a book go to the bench one after another, in the order in which they were made: each is
// answered before the next is asked. What is typed waits for a pause between two keys.

import { post, trying } from "./asking.js";

const TYPING_MS = 120;

export class Turns {
  constructor(path, change) {
    this.path = path;
    this.change = change; // asks the bench for one change and shows what came of it
    this.timers = new Map(); // what is typed just now, by kind and name
    this.unsent = new Set(); // what was typed and waits for its turn
    this.last = Promise.resolve();
  }

  next(work) {
    const done = this.last.then(() => trying(work));
    this.last = done.catch(() => {});
    return done;
  }

  typed(kind, body) {
    const key = `${kind} ${body.name}`;
    clearTimeout(this.timers.get(key)?.timer);
    this.timers.set(key, { kind, body, timer: setTimeout(() => this.send(key), TYPING_MS) });
  }

  send(key) {
    const waiting = this.timers.get(key);
    clearTimeout(waiting.timer);
    this.timers.delete(key);
    this.unsent.add(waiting);
    this.next(() => this.change(waiting.kind, waiting.body).finally(() => this.unsent.delete(waiting)));
  }

  // Everything typed so far takes its turn now.
  hurry() {
    for (const key of [...this.timers.keys()]) this.send(key);
  }

  async sent() {
    this.hurry();
    await this.last;
  }

  typing(kind, name) {
    return this.timers.has(`${kind} ${name}`) || [...this.unsent].some((one) => one.kind === kind && one.body.name === name);
  }

  // The page is reloaded or shut within a blink of the last key: what waits goes out all the same.
  flush() {
    const waiting = [...this.unsent, ...this.timers.values()];
    const last = new Map(waiting.map((one) => [`${one.kind} ${one.body.name}`, one]));
    for (const { kind, body } of last.values()) post(`${this.path}/${kind}`, body, true).catch(() => {});
  }
}
