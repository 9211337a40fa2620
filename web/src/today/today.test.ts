import { describe, expect, it } from "vitest";
import { lookBackWords, untilWords } from "./today";

describe("today", () => {
  it("says how long a check is overdue", () => {
    expect([0, 0.5, 1, 3.2].map((overdue_days) => untilWords({ overdue_days }))).toEqual([
      "due today",
      "due today",
      "1 day overdue",
      "3 days overdue",
    ]);
  });
  it("says what a look-back waits for", () => {
    const one = { id: 1, light: 1, name: "Light 1", open: true };
    expect(lookBackWords({ ...one, undecided: 1 })).toBe("1 restoration waits for a decision");
    expect(lookBackWords({ ...one, undecided: 0 })).toBe("all decided, to be closed");
  });
});
