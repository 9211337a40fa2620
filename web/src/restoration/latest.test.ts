import { describe, expect, it } from "vitest";
import { Latest, type Question } from "./latest";

/** A server that answers when told to. */
function bench() {
  const sent: { question: number; answer: (value: string) => Promise<void>; refuse: () => Promise<void> }[] =
    [];
  const got: [string, boolean][] = [];
  const failures: number[] = [];
  const settled = () => new Promise<void>((resolve) => setTimeout(resolve));
  const latest = new Latest<number, string>(
    (one: Question<number>) =>
      new Promise<string>((resolve, reject) => {
        sent.push({
          question: one.question,
          answer: (value) => {
            resolve(value);
            return settled();
          },
          refuse: () => {
            reject(new Error("superseded"));
            return settled();
          },
        });
      }),
    (answer, _one, last) => got.push([answer, last]),
    (_error, one) => failures.push(one.question),
  );
  return { sent, got, failures, latest };
}

describe("Latest", () => {
  it("has one drag on its way, and then sends the newest only", async () => {
    const { sent, got, latest } = bench();
    for (const question of [1, 2, 3, 4]) latest.ask({ question, precision: "drag" });
    expect(sent.map((one) => one.question)).toEqual([1]);
    await sent[0]?.answer("one");
    expect(sent.map((one) => one.question)).toEqual([1, 4]);
    await sent[1]?.answer("four");
    expect(got).toEqual([
      ["one", false],
      ["four", true],
    ]);
    expect(latest.open).toBe(false);
  });
  it("does not wait for a full answer", async () => {
    const { sent, got, failures, latest } = bench();
    latest.ask({ question: 1, precision: "full" });
    latest.ask({ question: 2, precision: "drag" });
    expect(sent.map((one) => one.question)).toEqual([1, 2]);
    await sent[1]?.answer("two");
    await sent[0]?.answer("late");
    expect(got).toEqual([["two", true]]);
    expect(failures).toEqual([]);
  });
  it("sends nothing more once what waits is dropped", async () => {
    const { sent, failures, latest } = bench();
    for (const question of [1, 2]) latest.ask({ question, precision: "drag" });
    latest.drop();
    await sent[0]?.refuse();
    expect(sent.length).toBe(1);
    expect(failures).toEqual([1]);
    expect(latest.open).toBe(false);
  });
  it("says nothing of what was superseded, and tells what failed", async () => {
    const { sent, failures, latest } = bench();
    latest.ask({ question: 1, precision: "full" });
    latest.ask({ question: 2, precision: "full" });
    await sent[0]?.refuse();
    expect(failures).toEqual([]);
    await sent[1]?.refuse();
    expect(failures).toEqual([2]);
  });
});
