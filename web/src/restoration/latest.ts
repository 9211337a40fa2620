// Asking for what follows a finger: one question on its way at a time, and then the newest.

/** How exactly an answer is wanted: quickly, under a finger, or as well as it can be told. */
export type Precision = "drag" | "full";

export interface Question<Q> {
  question: Q;
  precision: Precision;
}

/**
 * Sends questions one after the other. While one is on its way only the newest of those that come is kept. A question
 * that comes while a full one is worked out goes at once: the server gives the older one up.
 */
export class Latest<Q, A> {
  #flying: { precision: Precision; turn: number } | undefined;
  #waiting: Question<Q> | undefined;
  #turn = 0;
  #answered = 0;

  constructor(
    private readonly send: (one: Question<Q>) => Promise<A>,
    /** Told of every answer that is newer than those before; `last` when no newer question is open. */
    private readonly answered: (answer: A, one: Question<Q>, last: boolean) => void,
    /** Told of what went wrong with a question that is still the newest one. */
    private readonly failed: (error: unknown, one: Question<Q>) => void,
  ) {}

  /** Whether an answer is still to come. */
  get open(): boolean {
    return this.#flying !== undefined;
  }

  ask(one: Question<Q>): void {
    if (this.#flying?.precision === "drag") {
      this.#waiting = one;
      return;
    }
    this.#waiting = undefined;
    void this.#fly(one);
  }

  /** Sends nothing more of what waits. */
  drop(): void {
    this.#waiting = undefined;
  }

  async #fly(one: Question<Q>): Promise<void> {
    this.#turn += 1;
    const turn = this.#turn;
    this.#flying = { precision: one.precision, turn };
    try {
      const answer = await this.send(one);
      this.#land(turn);
      if (turn > this.#answered) {
        this.#answered = turn;
        this.answered(answer, one, !this.open);
      }
    } catch (error) {
      this.#land(turn);
      if (turn === this.#turn && !this.open) this.failed(error, one);
    }
  }

  /** What was on its way is over: the newest of what waited goes. */
  #land(turn: number): void {
    if (this.#flying?.turn !== turn) return;
    this.#flying = undefined;
    const next = this.#waiting;
    this.#waiting = undefined;
    if (next) void this.#fly(next);
  }
}
