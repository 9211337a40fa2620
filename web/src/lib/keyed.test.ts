import { expect, test } from "vitest";
import { Refused } from "./api";
import { Keyed } from "./keyed";

/** The keys that an act was tried under, as the answers came. */
async function keysOf(answers: readonly (Error | string)[], acts: readonly string[]): Promise<string[]> {
  const keyed = new Keyed();
  const keys: string[] = [];
  for (const [i, answer] of answers.entries()) {
    const tried = keyed.once(acts[i] ?? "act", async (key) => {
      keys.push(key);
      if (answer instanceof Error) throw answer;
      return answer;
    });
    if (answer instanceof Error) await expect(tried).rejects.toBe(answer);
    else expect(await tried).toBe(answer);
  }
  return keys;
}

const lost = new Refused(0, "The program cannot be reached.");
const failed = new Refused(503, "The records' database is down.");
const refused = new Refused(409, "It was changed meanwhile.");

test("what was not answered is tried again under its key", async () => {
  const keys = await keysOf([lost, failed, "done"], []);
  expect(new Set(keys).size).toBe(1);
});

test("what was done or refused is another act the next time", async () => {
  for (const over of ["done", refused]) {
    const keys = await keysOf([over, "done"], []);
    expect(new Set(keys).size).toBe(2);
  }
});

test("another act has another key", async () => {
  const keys = await keysOf([lost, lost, "done"], ["close", "reopen", "close"]);
  expect(keys[0]).toBe(keys[2]);
  expect(keys[1]).not.toBe(keys[0]);
});
