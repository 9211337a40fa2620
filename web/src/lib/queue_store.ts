// Where the queue is kept: in the browser's own database, or, where there is none, in the page while it is open.
import { type Keep, wait } from "./keep";
import type { Kept, New, OneAtATime, QueueStore } from "./queue";

/** Keeps nothing over a reload. */
export class MemoryStore<Body, Answer> implements QueueStore<Body, Answer> {
  #kept: Kept<Body, Answer>[] = [];
  #order = 0;

  async add(one: New<Body>): Promise<void> {
    if (this.#kept.some((other) => other.key === one.key)) return;
    this.#order += 1;
    this.#kept.push({ ...one, order: this.#order });
  }
  async all(): Promise<Kept<Body, Answer>[]> {
    return [...this.#kept];
  }
  async put(one: Kept<Body, Answer>): Promise<void> {
    this.#kept = this.#kept.map((other) => (other.key === one.key ? one : other));
  }
  async remove(key: string): Promise<void> {
    this.#kept = this.#kept.filter((one) => one.key !== key);
  }
}

/** In IndexedDB: each change is on the disk before its promise is done. */
export class KeepStore<Body, Answer> implements QueueStore<Body, Answer> {
  constructor(private readonly keep: Keep) {}

  async add(one: New<Body>): Promise<void> {
    await this.#change(async (acts) => {
      if ((await wait(acts.index("key").getKey(one.key))) === undefined) acts.add(one);
    });
  }
  async all(): Promise<Kept<Body, Answer>[]> {
    const acts = (await this.keep.begin("acts")).objectStore("acts");
    return wait(acts.getAll() as IDBRequest<Kept<Body, Answer>[]>);
  }
  async put(one: Kept<Body, Answer>): Promise<void> {
    await this.#change(async (acts) => {
      if ((await wait(acts.getKey(one.order))) !== undefined) acts.put(one);
    });
  }
  async remove(key: string): Promise<void> {
    await this.#change(async (acts) => {
      const order = await wait(acts.index("key").getKey(key));
      if (order !== undefined) acts.delete(order);
    });
  }

  async #change(work: (acts: IDBObjectStore) => Promise<void>): Promise<void> {
    const change = await this.keep.begin("acts", "readwrite", { durability: "strict" });
    const done = new Promise<void>((resolve, reject) => {
      change.oncomplete = () => resolve();
      change.onabort = () => reject(change.error ?? new Error("the browser did not keep it"));
    });
    await work(change.objectStore("acts"));
    await done;
  }
}

/** How long a tab that says nothing more keeps others from sending [ms]: longer than one try takes. */
const lease_ms = 30_000;

/**
 * One tab at a time: by the browser's locks, which are free again when the tab is closed; pages on plain http have none
 * and note in the database who works, and until when.
 */
export function oneTab(keep: Keep, me: string): OneAtATime {
  const locks = navigator.locks as LockManager | undefined;
  if (locks) {
    return async (work) => {
      let had = false;
      await locks.request("throughcure acts", { ifAvailable: true }, async (lock) => {
        if (!lock) return;
        had = true;
        await work();
      });
      return had;
    };
  }
  return async (work) => {
    if (!(await lease(keep, me))) return false;
    const renew = setInterval(() => void lease(keep, me).catch(() => undefined), lease_ms / 3);
    try {
      await work();
    } finally {
      clearInterval(renew);
      await endLease(keep, me);
    }
    return true;
  };
}

interface Lease {
  who: string;
  until: number;
}

/** Whether this tab works now: nobody did, or for too long. Looked at and noted in one transaction. */
async function lease(keep: Keep, who: string): Promise<boolean> {
  const things = (await keep.begin("things", "readwrite")).objectStore("things");
  const now = Date.now();
  const other = (await wait(things.get("lease"))) as Lease | undefined;
  // A clock that was set back must not keep everybody out.
  const held = other && other.who !== who && other.until > now && other.until <= now + lease_ms;
  if (!held) things.put({ who, until: now + lease_ms } satisfies Lease, "lease");
  return !held;
}

async function endLease(keep: Keep, who: string): Promise<void> {
  const things = (await keep.begin("things", "readwrite")).objectStore("things");
  const other = (await wait(things.get("lease"))) as Lease | undefined;
  if (other?.who === who) things.delete("lease");
}
