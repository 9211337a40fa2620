import { describe, expect, it } from "vitest";
import { endOf, type LineMark, place } from "./line";

const marks: LineMark[] = [
  { value: 2000, words: "caution 2,000", kind: "limit" },
  { value: 900, words: "900", kind: "reading" },
  { value: 500, words: "limit 500", kind: "limit" },
  { value: 700, words: "baseline 700", kind: "baseline" },
];

describe("a reading's line", () => {
  it("reaches a little beyond all that stands on it", () => {
    expect(endOf(marks)).toBe(2500);
  });
  it("keeps words from lying over one another and inside the line", () => {
    const placed = place(marks, 350);
    expect(placed.map((one) => one.kind)).toEqual(["limit", "baseline", "reading", "limit"]);
    expect(placed.map((one) => Math.round(one.x))).toEqual([70, 98, 126, 280]);
    const below = placed.filter((one) => one.kind !== "reading");
    expect(below.map((one) => one.row)).toEqual([0, 1, 0]);
    for (const one of placed) {
      const half = (one.words.length * 7.2) / 2;
      expect(one.at - half).toBeGreaterThanOrEqual(0);
      expect(one.at + half).toBeLessThanOrEqual(350);
    }
  });
});
