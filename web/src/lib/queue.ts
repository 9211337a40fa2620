// What waits to be sent: kept before it is sent, sent in the order it was kept, under whoever did it, never twice.
import { type Problem, Refused } from "./api";

/** One act that is kept until whoever did it has seen what became of it. */
export interface Kept<Body, Answer> {
  /** The act's own: the same on every try, so that the server takes it once. */
  key: string;
  /** The place in the queue; given by the store. */
  order: number;
  /** Of the session of whoever did it: it goes in under that person. */
  ticket: string;
  /** Whoever did it, by name. */
  person: string;
  /** What it is about, by name. */
  about: string;
  body: Body;
  /** Why the server does not take it as it is: it waits for a person. */
  refused?: { sentence: string; problems: readonly Problem[] };
  /** What the server said: it is in, and waits to be seen. */
  answer?: Answer;
}

export type New<Body> = Omit<Kept<Body, never>, "order" | "refused" | "answer">;

/** Where it is kept. Each call is done, and survives a reload, once its promise is. */
export interface QueueStore<Body, Answer> {
  /** Adds at the end; what is there already under this key stays as it is. */
  add(one: New<Body>): Promise<void>;
  /** In order. */
  all(): Promise<Kept<Body, Answer>[]>;
  /** Replaces what stands at its place; where it was removed meanwhile it stays so. */
  put(one: Kept<Body, Answer>): Promise<void>;
  remove(key: string): Promise<void>;
}

/** Lets one tab at a time work: false where another one does. */
export type OneAtATime = (work: () => Promise<void>) => Promise<boolean>;

/** How the last try ended. */
export type Way = "free" | "no connection" | "sign in";

/** What is told of the queue. */
export interface Told<Body, Answer> {
  changed(all: readonly Kept<Body, Answer>[]): void;
  way(way: Way): void;
}

const first_wait_ms = 2_000;
const most_wait_ms = 60_000;

export class Queue<Body, Answer> {
  #running = false;
  #again = false;
  #tries = 0;
  #timer: ReturnType<typeof setTimeout> | undefined;

  constructor(
    private readonly store: QueueStore<Body, Answer>,
    /** Sends one; throws Refused, or anything else where nothing came back. */
    private readonly send: (one: Kept<Body, Answer>) => Promise<Answer>,
    private readonly oneAtATime: OneAtATime,
    private readonly told: Told<Body, Answer>,
  ) {}

  /** Keeps an act, then sends it as soon as its turn comes. Done when it is kept. */
  async keep(one: New<Body>): Promise<void> {
    await this.store.add(one);
    await this.look();
    this.go();
  }

  /** Sends what waits, now: the connection is back, somebody signed in, the page was opened. */
  go(): void {
    this.#tries = 0;
    void this.#run();
  }

  /** Reads again what is kept: another tab may have sent some of it. */
  async look(): Promise<void> {
    this.told.changed(await this.store.all());
  }

  /** Throws one away: an act of a person, never of the program. */
  async discard(key: string): Promise<void> {
    await this.store.remove(key);
    await this.look();
  }

  /** What became of one was seen; what still waits is left alone. */
  async seen(key: string): Promise<void> {
    const one = (await this.store.all()).find((kept) => kept.key === key);
    if (one?.answer !== undefined) await this.discard(key);
  }

  /** Sends one again that was not taken: what was in its way may be mended. */
  async retry(key: string): Promise<void> {
    const one = (await this.store.all()).find((kept) => kept.key === key);
    if (!one?.refused) return;
    const { refused: _, ...rest } = one;
    await this.store.put(rest);
    await this.look();
    this.go();
  }

  /** Tries no more by itself. */
  stop(): void {
    clearTimeout(this.#timer);
  }

  async #run(): Promise<void> {
    if (this.#running) {
      this.#again = true;
      return;
    }
    this.#running = true;
    clearTimeout(this.#timer);
    try {
      do {
        this.#again = false;
        let left: number | undefined;
        const had = await this.oneAtATime(async () => {
          left = await this.#sendAll();
        });
        // Another tab sends; should it be closed over it, this one goes on.
        if (!had) left = first_wait_ms;
        if (left !== undefined && !this.#again) this.#timer = setTimeout(() => void this.#run(), left);
      } while (this.#again);
    } catch {
      // What is kept could not be read or written just now; it is not lost by that.
      this.#timer = setTimeout(() => void this.#run(), this.#wait());
    } finally {
      this.#running = false;
    }
    await this.look().catch(() => undefined);
  }

  /** Sends all that can be sent; how long to wait before the next try [ms], undefined where none is needed. */
  async #sendAll(): Promise<number | undefined> {
    for (;;) {
      // Read anew each time: another tab may have sent it, a person may have thrown it away.
      const next = (await this.store.all()).find((one) => !one.refused && one.answer === undefined);
      if (!next) {
        this.told.way("free");
        return undefined;
      }
      try {
        const answer = await this.send(next);
        await this.store.put({ ...next, answer });
        this.#tries = 0;
        this.told.way("free");
      } catch (error) {
        const left = whatNow(error);
        if (left === "refused") {
          const { message: sentence, problems } = error as Refused;
          await this.store.put({ ...next, refused: { sentence, problems } });
        } else {
          this.told.way(left === "sign in" ? "sign in" : "no connection");
          return left === "sign in" ? undefined : (left ?? this.#wait());
        }
      }
      await this.look();
    }
  }

  /** Twice as long each time, with a share of chance: fifty phones do not come back in the same second. */
  #wait(): number {
    const least = Math.min(most_wait_ms, first_wait_ms * 2 ** this.#tries);
    this.#tries += 1;
    return least * (1 + 0.25 * Math.random());
  }
}

/** What an error asks for: a person to mend or discard it, a sign-in, or another try after so long [ms] or as usual. */
function whatNow(error: unknown): "refused" | "sign in" | number | undefined {
  if (!(error instanceof Refused)) return undefined;
  if (error.status === 401) return "sign in";
  if (error.status === 429) return error.wait_s === undefined ? undefined : 1_000 * error.wait_s;
  const passes = error.status === 0 || error.status === 408 || error.status >= 500;
  return passes ? undefined : "refused";
}
