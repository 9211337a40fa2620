import { describe, expect, it } from "vitest";
import { doubt, page, row } from "./invented";
import { chanceWords, doubtOf, listSentence, rowWords, siftings, whyNot } from "./lookback";

describe("the list", () => {
  it("says what waits", () => {
    expect(rowWords(row)).toBe("open, 7 of 12 restorations to decide");
    expect(rowWords({ ...row, decided: 12 })).toBe("open, all 12 restorations decided");
    expect(rowWords({ ...row, closed_at: "2026-11-24T12:00:00Z" })).toBe(
      "closed 24 Nov 2026, 12 restorations",
    );
    expect(rowWords({ ...row, merged_into: 9 })).toBe("merged into look-back 9");
  });
  it("is a sentence", () => {
    expect(listSentence([])).toBe("No light has failed: there is no look-back.");
    expect(listSentence([row, { ...row, id: 8, merged_into: 7 }])).toBe(
      "One look-back is open: 7 restorations to decide.",
    );
    expect(listSentence([row, { ...row, decided: 11 }])).toBe(
      "2 look-backs are open: 8 restorations to decide.",
    );
    expect(listSentence([{ ...row, closed_at: "2026-11-24T12:00:00Z" }])).toBe("No look-back is open.");
  });
});

describe("a restoration in doubt", () => {
  it("is ranked by its own chance, or by that of too weak a light", () => {
    expect(doubtOf(doubt(1, 4, 0.3))).toEqual({ chance: 0.3, recomputed: true });
    expect(doubtOf(doubt(1, 4, null))).toEqual({ chance: 0.4, recomputed: false });
    expect(chanceWords(doubt(1, 4, 0.3))).toBe("30\u00a0% under-cured");
    expect(chanceWords(doubt(1, 4, null))).toBe("40\u00a0% that the light was too weak");
    expect(whyNot(doubt(1, 4, null))).toMatch(/not kept/);
    expect(whyNot(doubt(1, 4, 0.3))).toBe("");
  });
});

describe("what the list is narrowed to", () => {
  it("is told with how many there are, and nothing is offered that would be empty", () => {
    const some = { ...page, counts: { all: 1204, undecided: 1200, recall: 4, watch: 0, none: 0 } };
    expect(siftings(some).map((one) => [one.label, one.off])).toEqual([
      ["all 1,204", false],
      ["to decide 1,200", false],
      ["recall 4", false],
      ["watch 0", true],
      ["none 0", true],
    ]);
  });
});
