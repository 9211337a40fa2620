import { describe, expect, it } from "vitest";
import { chance, leftAfter } from "./answers";

describe("chance", () => {
  it("comes with the interval of its own error", () => {
    expect(chance(0.12, 0.01)).toEqual({ value: "12\u00a0%", interval: "10 to 14\u00a0%" });
    expect(chance(0.995, 0.01).interval).toBe("98 to 100\u00a0%");
    expect(chance(0.5, 0)).toEqual({ value: "50\u00a0%", interval: "" });
  });
});

describe("leftAfter", () => {
  it("multiplies what the causes let through", () => {
    const cause = (share_kept: number) => ({ cause: "", label: "", share_kept, probability_without: 0 });
    expect(leftAfter([cause(0.9), cause(0.5), cause(1)])).toEqual([0.9, 0.45, 0.45]);
  });
});
