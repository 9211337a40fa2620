// Why a case comes out as it does, and what would mend it: worked out when the hand rests, given up when it moves.
import { GivenUp, post, remove } from "../lib/api";
import type { Why } from "./answers";
import type { CaseDocument } from "./case";
import { Doing } from "./doing.svelte";

/** After so much quiet it is asked for. */
const rest_ms = 1200;

export class Reasons {
  answer = $state.raw<Why>();
  state = $state<"waiting" | "working" | "done" | "stopped" | "failed">("waiting");
  trouble = $state("");
  readonly doing = new Doing();

  #timer: ReturnType<typeof setTimeout> | undefined;
  #stop: AbortController | undefined;

  /** Asks after a rest, unless there is an answer already. */
  soon(document: CaseDocument): void {
    clearTimeout(this.#timer);
    if (this.state !== "waiting") return;
    this.#timer = setTimeout(() => void this.ask(document), rest_ms);
  }

  /** Waits for the next rest: something newer is being asked. */
  hold(): void {
    clearTimeout(this.#timer);
  }

  async ask(document: CaseDocument): Promise<void> {
    this.forget();
    const stop = new AbortController();
    this.#stop = stop;
    this.state = "working";
    this.doing.begin();
    try {
      const answer = await post<Why>("/api/plan/why", { document }, stop.signal);
      if (stop.signal.aborted) return;
      this.doing.end();
      this.answer = answer;
      this.state = "done";
    } catch (error) {
      if (stop.signal.aborted) return;
      this.doing.end();
      // Given up for something newer it is asked for again when that is answered.
      if (error instanceof GivenUp) {
        this.state = error.how === "stopped" ? "stopped" : "waiting";
        return;
      }
      this.state = "failed";
      this.trouble = error instanceof Error ? error.message : String(error);
    }
  }

  /** The document has changed: what was said of the old one is not true of it. */
  forget(): void {
    clearTimeout(this.#timer);
    this.#stop?.abort();
    this.doing.end();
    this.answer = undefined;
    this.state = "waiting";
  }

  /** Gives up what is being worked out, until it is asked for again. */
  stop(): void {
    this.forget();
    this.state = "stopped";
    // What the server goes on with all the same is given up at the next question.
    void remove("/api/plan/open").catch(() => undefined);
  }
}
