import { describe, expect, it } from "vitest";
import { deedWords, lookBackWords, runsOutPlace, runsOutWords, untilWords } from "./today";

describe("today", () => {
  it("says how long a check is overdue", () => {
    expect(
      [0, 0.5, 1, 3.2].map((overdue_days) => untilWords({ due: "2026-11-20T00:00:00Z", overdue_days })),
    ).toEqual(["due today", "due today", "1 day overdue", "3 days overdue"]);
    expect(untilWords({ due: null, overdue_days: 0 })).toBe("never checked");
  });
  it("says who did what", () => {
    expect(deedWords({ name: "Ana", sentence: "took a check" })).toBe("Ana took a check.");
    expect(deedWords({ name: "the program", sentence: "took a check" })).toBe("The program took a check.");
    expect(deedWords({ name: "Ana", sentence: "Light 1 was checked." })).toBe("Light 1 was checked.");
  });
  it("says what runs out, and leads to where it is seen to", () => {
    const told = (what: "certificate" | "lot" | "warranty", name: string, light: number | null = null) =>
      `${runsOutWords({ what, name })} ${runsOutPlace({ what, light })}`;
    expect(told("certificate", "Meter")).toBe("certificate of Meter /setup/equipment");
    expect(told("lot", "Paste A2, lot 7")).toBe("Paste A2, lot 7 /setup/materials");
    expect(told("warranty", "Light 2", 2)).toBe("warranty of Light 2 /lights/2");
  });
  it("says what a look-back waits for", () => {
    const one = { id: 1, light: 1, name: "Light 1", open: true };
    expect(lookBackWords({ ...one, undecided: 1 })).toBe("1 restoration waits for a decision");
    expect(lookBackWords({ ...one, undecided: 0 })).toBe("all decided, to be closed");
  });
});
