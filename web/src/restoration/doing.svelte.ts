// How far the server is with the open question, asked again and again while one is on its way.
import { get } from "../lib/api";

/** GET /api/plan/open */
type Open = { open: false } | { open: true; doing: string; share_done: number };

/** What is being worked out, and how much of it is done [0..1]. */
export interface HowFar {
  words: string;
  share: number;
}

/** What is answered sooner needs no line of its own. */
const poll_ms = 500;

export class Doing {
  now = $state.raw<HowFar>();

  #timer: ReturnType<typeof setTimeout> | undefined;
  #turn = 0;

  constructor(private readonly ask: () => Promise<Open> = () => get<Open>("/api/plan/open")) {}

  /** A question has gone out: what was told of one before is not true of it. */
  begin(): void {
    this.end();
    this.#next(this.#turn);
  }

  /** It has been answered. */
  end(): void {
    this.#turn += 1;
    clearTimeout(this.#timer);
    this.now = undefined;
  }

  #next(turn: number): void {
    this.#timer = setTimeout(() => void this.#look(turn), poll_ms);
  }

  async #look(turn: number): Promise<void> {
    // What goes wrong here is told by the question itself.
    const told = await this.ask().catch(() => undefined);
    if (turn !== this.#turn) return;
    if (told?.open) this.now = { words: told.doing, share: told.share_done };
    this.#next(turn);
  }
}
