// The checks that wait on this device, as the page shows them, and what it keeps to begin one without a connection.
import { forgetSession, get, Refused, type SessionInfo, send, session } from "../lib/api";
import { Keep, keepThing, thing } from "../lib/keep";
import { type Kept, type New, Queue, type Way } from "../lib/queue";
import { KeepStore, MemoryStore, oneTab } from "../lib/queue_store";
import type { CheckAnswer, CheckBody, Sheet } from "./check";

export type KeptCheck = Kept<CheckBody, CheckAnswer>;

/** Whoever takes the checks on this device. */
export interface Taker {
  account: number;
  name: string;
  ticket: string;
  role: string;
}

/** How long an answer may take before the check is tried again with the same key [ms]. */
const patience_ms = 20_000;

class Waiting {
  all = $state.raw<readonly KeptCheck[]>([]);
  way = $state<Way>("free");
  /** Whether what is kept survives the page. */
  lasting = $state(true);

  #keep: Promise<Keep | undefined> | undefined;
  #queue: Promise<Queue<CheckBody, CheckAnswer>> | undefined;
  #others: BroadcastChannel | undefined;

  /** Those that are not in the records yet. */
  get open(): readonly KeptCheck[] {
    return this.all.filter((one) => one.answer === undefined);
  }

  /** Opens what is kept and sends it; goes on whenever the connection may be back. Ends by the function it returns. */
  begin(): () => void {
    const go = (): void => void this.go();
    const look = (): void => {
      if (document.visibilityState === "visible") go();
    };
    addEventListener("online", go);
    document.addEventListener("visibilitychange", look);
    if (typeof BroadcastChannel !== "undefined") {
      this.#others = new BroadcastChannel("throughcure acts");
      this.#others.onmessage = () => void this.#ready().then((queue) => queue.look());
    }
    go();
    return () => {
      removeEventListener("online", go);
      document.removeEventListener("visibilitychange", look);
      this.#others?.close();
      void this.#ready().then((queue) => queue.stop());
    };
  }

  async go(): Promise<void> {
    (await this.#ready()).go();
  }

  /** Keeps a check, and sends it when it can be sent. Done when it is kept. */
  async take(one: New<CheckBody>): Promise<void> {
    await (await this.#ready()).keep(one);
    this.#others?.postMessage("");
  }
  async discard(key: string): Promise<void> {
    await (await this.#ready()).discard(key);
    this.#others?.postMessage("");
  }
  async retry(key: string): Promise<void> {
    await (await this.#ready()).retry(key);
  }
  async seen(key: string): Promise<void> {
    await (await this.#ready()).seen(key);
    this.#others?.postMessage("");
  }

  /** The sheet as it was kept, at once; undefined for none. */
  async keptSheet(): Promise<Sheet | undefined> {
    const keep = await this.#kept();
    return keep && thing<Sheet>(keep, "sheet");
  }

  /** The sheet as the server has it now, kept for when there is no connection. */
  async freshSheet(): Promise<Sheet> {
    const sheet = await get<Sheet>("/api/check-sheet", AbortSignal.timeout(patience_ms));
    const keep = await this.#kept();
    if (keep) await keepThing(keep, "sheet", sheet).catch(() => undefined);
    return sheet;
  }

  /** Whoever is signed in; without a connection, whoever was last. Undefined where nobody is. */
  async taker(): Promise<Taker | undefined> {
    const keep = await this.#kept();
    try {
      const taker = takerOf(await session());
      if (keep) await keepThing(keep, "taker", taker).catch(() => undefined);
      return taker;
    } catch (error) {
      if (error instanceof Refused && error.status === 401) {
        await this.forgetTaker();
        return undefined;
      }
      return keep && thing<Taker>(keep, "taker");
    }
  }

  /** Nobody is signed in any more. What waits keeps the ticket of whoever took it. */
  async forgetTaker(): Promise<void> {
    const keep = await this.#kept();
    if (keep) await keepThing(keep, "taker", undefined).catch(() => undefined);
  }

  #kept(): Promise<Keep | undefined> {
    this.#keep ??= Keep.open().catch(() => {
      this.lasting = false;
      return undefined;
    });
    return this.#keep;
  }

  #ready(): Promise<Queue<CheckBody, CheckAnswer>> {
    this.#queue ??= this.#kept().then(
      (keep) =>
        new Queue<CheckBody, CheckAnswer>(
          keep ? new KeepStore(keep) : new MemoryStore(),
          sendCheck,
          keep ? oneTab(keep, crypto.getRandomValues(new Uint32Array(2)).join("-")) : alone,
          {
            changed: (all) => {
              const sent = this.open.length - all.filter((one) => one.answer === undefined).length;
              this.all = all;
              if (sent > 0) this.#others?.postMessage("");
            },
            way: (way) => {
              this.way = way;
            },
          },
        ),
    );
    return this.#queue;
  }
}

export const waiting = new Waiting();

function takerOf(info: SessionInfo): Taker {
  return {
    account: info.account,
    name: info.person.name,
    ticket: info.ticket,
    role: info.person.role,
  };
}

const alone = async (work: () => Promise<void>): Promise<boolean> => {
  await work();
  return true;
};

/** Sends one under the ticket of whoever took it, by the session that is open now. */
async function sendCheck(one: KeptCheck): Promise<CheckAnswer> {
  const go = (): Promise<CheckAnswer> =>
    withinPatience(
      send<CheckAnswer>(
        "POST",
        "/api/checks",
        one.body,
        { key: one.key, ticket: one.ticket },
        AbortSignal.timeout(patience_ms),
      ),
    );
  try {
    return await go();
  } catch (error) {
    if (!(error instanceof Refused) || (error.status !== 401 && error.status !== 403)) throw error;
    // Somebody may have signed in in another tab since this page asked who is.
    forgetSession();
    try {
      return await go();
    } catch (again) {
      // A viewer is signed in now: the check itself is sound, and waits for somebody who may send it.
      if (!(again instanceof Refused) || again.status !== 403) throw again;
      const role = await session().then((info) => info.person.role);
      throw role === "viewer" ? new Refused(401, again.message) : again;
    }
  }
}

function withinPatience<T>(work: Promise<T>): Promise<T> {
  return new Promise((resolve, reject) => {
    const timer = setTimeout(() => reject(new Error("no answer")), patience_ms);
    work.then(resolve, reject).finally(() => clearTimeout(timer));
  });
}
