import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { Doing } from "./doing.svelte";

beforeEach(() => vi.useFakeTimers());
afterEach(() => vi.useRealTimers());

describe("Doing", () => {
  it("asks again and again, and shows what the server counts", async () => {
    let share = 0.2;
    const doing = new Doing(async () => ({ open: true, doing: "light", share_done: share }));
    doing.begin();
    expect(doing.now).toBeUndefined();
    await vi.advanceTimersByTimeAsync(600);
    expect(doing.now).toEqual({ words: "light", share: 0.2 });
    await vi.advanceTimersByTimeAsync(5000);
    expect(doing.now?.share).toBe(0.2); // time alone moves nothing
    share = 0.7;
    await vi.advanceTimersByTimeAsync(500);
    expect(doing.now?.share).toBe(0.7);
  });
  it("is quiet once it is answered, whatever comes late", async () => {
    let late: (told: { open: true; doing: string; share_done: number }) => void = () => undefined;
    const asked = vi.fn(
      () => new Promise<{ open: true; doing: string; share_done: number }>((go) => (late = go)),
    );
    const doing = new Doing(asked);
    doing.begin();
    await vi.advanceTimersByTimeAsync(600);
    doing.end();
    late({ open: true, doing: "old", share_done: 0.9 });
    await vi.advanceTimersByTimeAsync(5000);
    expect(doing.now).toBeUndefined();
    expect(asked).toHaveBeenCalledTimes(1);
  });
  it("goes on when it cannot be told", async () => {
    const ask = vi.fn().mockRejectedValueOnce(new Error("gone")).mockResolvedValue({ open: false });
    const doing = new Doing(ask);
    doing.begin();
    await vi.advanceTimersByTimeAsync(1600);
    expect(ask.mock.calls.length).toBeGreaterThan(1);
    expect(doing.now).toBeUndefined();
    doing.end();
  });
});
