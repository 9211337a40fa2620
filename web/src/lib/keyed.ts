// Acts that are done once: each under a key of its own, which is the same while it was not answered.
import { newKey, Refused } from "./api";

export class Keyed {
  readonly #keys = new Map<string, string>();

  /**
   * Does `work` under the key of the act, whose name says all that is sent. An act that was not answered may have been
   * done: tried again, it has the same key and so the same answer. What was refused was not done: another try is
   * another act.
   */
  async once<T>(act: string, work: (key: string) => Promise<T>): Promise<T> {
    const key = this.#keys.get(act) ?? newKey();
    this.#keys.set(act, key);
    try {
      const done = await work(key);
      this.#keys.delete(act);
      return done;
    } catch (error) {
      if (error instanceof Refused && error.status >= 400 && error.status < 500) this.#keys.delete(act);
      throw error;
    }
  }
}
