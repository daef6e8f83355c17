// Room for what the phone cannot keep. While its storage is full, or forbidden,
// taps lie in memory behind what is stored, are sent from there, and are stored
// as soon as there is room. Whoever uses it must be told: what lies in memory is
// gone when the page is closed before it is sent.

import type { Item, Store } from "./outbox";

/** Items in memory come behind every stored one. */
const behind = 2 ** 40;

export class SpareStore implements Store {
  #items: Item[] = [];
  #marks = new Map<number, Item>(); // stored items whose new state could not be stored
  #moved = new Map<number, number>(); // places in memory, and where they went
  #next = behind;
  #settling: Promise<boolean> | null = null;

  constructor(private readonly inner: Store) {}

  /** How many items lie in memory only. */
  get unkept(): number { return this.#items.length; }

  async add(item: Item): Promise<number> {
    if (await this.settle()) {
      try {
        return await this.inner.add(item);
      } catch {
        // No room: into memory.
      }
    }
    const seq = this.#next++;
    this.#items.push({ ...item, seq });
    return seq;
  }

  async all(): Promise<Item[]> {
    const stored = await this.inner.all().catch((error: unknown) => {
      if (this.#items.length > 0) return []; // what is in memory can still be sent
      throw error;
    });
    const here = new Set(stored.map((item) => item.request.command_id)); // one may just be on its way from memory
    return [...stored.map((item) => this.#marks.get(item.seq!) ?? item), ...this.#items.filter((item) => !here.has(item.request.command_id))];
  }

  async put(item: Item): Promise<void> {
    const seq = this.#moved.get(item.seq!) ?? item.seq!;
    const placed = { ...item, seq };
    const i = this.#items.findIndex((other) => other.seq === seq);
    if (i >= 0) {
      this.#items[i] = placed;
      return;
    }
    try {
      await this.inner.put(placed);
      this.#marks.delete(seq);
    } catch {
      this.#marks.set(seq, placed);
    }
  }

  async remove(seq: number): Promise<void> {
    const at = this.#moved.get(seq) ?? seq;
    this.#items = this.#items.filter((item) => item.seq !== at);
    this.#marks.delete(at);
    if (at < behind) await this.inner.remove(at);
  }

  /** Stores what lies in memory, in order, as far as there is room. Returns whether all of it is stored. */
  settle(): Promise<boolean> {
    if (this.#items.length === 0 && this.#marks.size === 0) return Promise.resolve(true);
    return (this.#settling ??= this.#settle().finally(() => { this.#settling = null; }));
  }

  async #settle(): Promise<boolean> {
    try {
      for (const [seq, item] of this.#marks) {
        await this.inner.put(item);
        if (this.#marks.get(seq) === item) this.#marks.delete(seq);
      }
      while (this.#items.length > 0) await this.#store(this.#items[0]!);
      return true;
    } catch {
      return false;
    }
  }

  async #store(item: Item): Promise<void> {
    const { seq, ...rest } = item;
    const at = await this.inner.add(rest);
    this.#moved.set(seq!, at);
    const now = this.#items.find((other) => other.seq === seq); // it may have been sent, or put aside, meanwhile
    this.#items = this.#items.filter((other) => other.seq !== seq);
    if (!now) await this.inner.remove(at);
    else if (now !== item) await this.put({ ...now, seq: at });
  }
}
