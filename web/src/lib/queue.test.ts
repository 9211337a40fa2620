import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { Refused } from "./api";
import { type Kept, type New, type OneAtATime, Queue, type Way } from "./queue";
import { MemoryStore } from "./queue_store";

type Act = { number: number };

const act = (number: number): New<Act> => ({
  key: `key-${number}`,
  ticket: `ticket-${number}`,
  person: "A. Person",
  about: `Light ${number}`,
  body: { number },
});

const alone: OneAtATime = async (work) => {
  await work();
  return true;
};

/** A lock as a browser has one, for two queues in one test. */
function lock(): OneAtATime {
  let taken = false;
  return async (work) => {
    if (taken) return false;
    taken = true;
    try {
      await work();
    } finally {
      taken = false;
    }
    return true;
  };
}

let store: MemoryStore<Act, string>;
let sent: string[];
let ways: Way[];
let answer: (one: Kept<Act, string>) => Promise<string>;

function queue(oneAtATime = alone): Queue<Act, string> {
  return new Queue(
    store,
    (one) => {
      sent.push(one.key);
      return answer(one);
    },
    oneAtATime,
    { changed: () => undefined, way: (way) => ways.push(way) },
  );
}

beforeEach(() => {
  vi.useFakeTimers();
  store = new MemoryStore();
  sent = [];
  ways = [];
  answer = (one) => Promise.resolve(`took ${one.body.number}`);
});
afterEach(() => {
  vi.useRealTimers();
});
const settle = () => vi.advanceTimersByTimeAsync(0);
const answers = async () => (await store.all()).map((one) => one.answer);

describe("a queue", () => {
  it("keeps before it sends", async () => {
    let keptAtSending = 0;
    answer = async () => {
      keptAtSending = (await store.all()).length;
      return "took";
    };
    await queue().keep(act(1));
    await settle();
    expect(keptAtSending).toBe(1);
    expect(await answers()).toEqual(["took"]);
  });

  it("sends in order, one at a time, and keeps the answers until they are seen", async () => {
    let open = 0;
    answer = async (one) => {
      open += 1;
      expect(open).toBe(1);
      await new Promise((resolve) => setTimeout(resolve, 10));
      open -= 1;
      return `took ${one.body.number}`;
    };
    const q = queue();
    await Promise.all([q.keep(act(1)), q.keep(act(2)), q.keep(act(3))]);
    await vi.advanceTimersByTimeAsync(100);
    expect(sent).toEqual(["key-1", "key-2", "key-3"]);
    expect(await answers()).toEqual(["took 1", "took 2", "took 3"]);
    await q.seen("key-2");
    expect((await store.all()).map((one) => one.key)).toEqual(["key-1", "key-3"]);
  });

  it("tries again with the same key where nothing came back, later each time, and before the next one", async () => {
    answer = () => Promise.reject(new Refused(0, "no answer"));
    const q = queue();
    await q.keep(act(1));
    await q.keep(act(2));
    await vi.advanceTimersByTimeAsync(20_000);
    expect(sent.length).toBeGreaterThan(3);
    expect(sent.length).toBeLessThan(8);
    expect(new Set(sent)).toEqual(new Set(["key-1"]));
    expect(ways.at(-1)).toBe("no connection");
    answer = (one) => Promise.resolve(`took ${one.body.number}`);
    q.go();
    await settle();
    expect(sent.slice(-2)).toEqual(["key-1", "key-2"]);
    expect(await answers()).toEqual(["took 1", "took 2"]);
    expect(ways.at(-1)).toBe("free");
    const before = sent.length;
    await vi.advanceTimersByTimeAsync(600_000);
    expect(sent.length).toBe(before);
  });

  it("never waits for longer than a minute and a quarter", async () => {
    answer = () => Promise.reject(new TypeError("cut off"));
    await queue().keep(act(1));
    await vi.advanceTimersByTimeAsync(30 * 60_000);
    const before = sent.length;
    await vi.advanceTimersByTimeAsync(75_000);
    expect(sent.length).toBeGreaterThan(before);
  });

  it("waits as long as the server asks for", async () => {
    answer = () => Promise.reject(new Refused(429, "wait", [], 30));
    await queue().keep(act(1));
    await vi.advanceTimersByTimeAsync(29_000);
    expect(sent.length).toBe(1);
    await vi.advanceTimersByTimeAsync(2_000);
    expect(sent.length).toBe(2);
  });

  it("keeps what needs a sign-in, and sends it when told that there was one", async () => {
    answer = () => Promise.reject(new Refused(401, "not signed in"));
    const q = queue();
    await q.keep(act(1));
    await vi.advanceTimersByTimeAsync(600_000);
    expect(sent).toEqual(["key-1"]);
    expect(ways.at(-1)).toBe("sign in");
    expect((await store.all())[0]?.ticket).toBe("ticket-1");
    answer = () => Promise.resolve("took");
    q.go();
    await settle();
    expect(await answers()).toEqual(["took"]);
  });

  it("keeps what is not taken with what is wrong, sends the others, and sends it again only when told", async () => {
    const problem = { field: "shown_mw_cm2", what: "90000 is too much", remedy: "Read it again" };
    answer = (one) =>
      one.body.number === 1
        ? Promise.reject(new Refused(422, "not taken", [problem]))
        : Promise.resolve("took");
    const q = queue();
    await q.keep(act(1));
    await q.keep(act(2));
    await vi.advanceTimersByTimeAsync(600_000);
    expect(sent).toEqual(["key-1", "key-2"]);
    expect((await store.all())[0]?.refused).toEqual({ sentence: "not taken", problems: [problem] });
    q.go();
    await settle();
    expect(sent.length).toBe(2);
    answer = () => Promise.resolve("took");
    await q.retry("key-1");
    await settle();
    expect(await answers()).toEqual(["took", "took"]);
    expect((await store.all())[0]?.refused).toBeUndefined();
  });

  it("forgets one only by the act of a person", async () => {
    answer = () => Promise.reject(new Refused(422, "not taken"));
    const q = queue();
    await q.keep(act(1));
    await settle();
    await q.seen("key-1");
    expect((await store.all()).length).toBe(1);
    await q.discard("key-1");
    expect(await store.all()).toEqual([]);
  });

  it("stays as it was where the same act is kept twice", async () => {
    const q = queue();
    await Promise.all([q.keep(act(1)), q.keep(act(1))]);
    await settle();
    expect(sent).toEqual(["key-1"]);
  });

  it("goes on where the store failed for a moment", async () => {
    const q = queue();
    const { all } = store;
    store.all = () => Promise.reject(new Error("the browser closed it"));
    q.go();
    await vi.advanceTimersByTimeAsync(100);
    store.all = all;
    await store.add(act(1));
    await vi.advanceTimersByTimeAsync(10_000);
    expect(await answers()).toEqual(["took 1"]);
  });

  it("is sent by one tab alone; the other goes on where that one is closed over it", async () => {
    const turn = lock();
    const hung = new Promise<string>(() => undefined);
    answer = () => hung;
    await queue(turn).keep(act(1));
    const second = queue(turn);
    second.go();
    await vi.advanceTimersByTimeAsync(10_000);
    expect(sent).toEqual(["key-1"]);

    store = new MemoryStore();
    sent = [];
    answer = (one) => Promise.resolve(`took ${one.body.number}`);
    const both = lock();
    await Promise.all([queue(both).keep(act(1)), queue(both).keep(act(2))]);
    await vi.advanceTimersByTimeAsync(10_000);
    expect([...sent].sort()).toEqual(["key-1", "key-2"]);
  });
});
