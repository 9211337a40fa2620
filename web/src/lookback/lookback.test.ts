import { describe, expect, it } from "vitest";
import { doubt, page, row } from "./invented";
import {
  chanceWords,
  doubtOf,
  listSentence,
  logWords,
  paperWords,
  rowWords,
  siftings,
  waitsFor,
  whyNot,
} from "./lookback";

describe("the list", () => {
  it("says what waits", () => {
    expect(rowWords(row)).toBe("open, 7 of 12 restorations to decide");
    expect(rowWords({ ...row, decided: 12 })).toBe("open, all 12 restorations decided");
    expect(rowWords({ ...row, closed_at: "2026-11-24T12:00:00Z" })).toBe(
      "closed 24 Nov 2026, 12 restorations",
    );
    expect(rowWords({ ...row, merged_into: 9 })).toBe("merged into look-back 9");
  });
  it("says how many others were made at other sites", () => {
    const shared = { ...row, elsewhere: { restorations: 3, undecided: 1 } };
    expect(rowWords(shared)).toBe("open, 7 of 12 restorations to decide, 3 more at other sites");
    expect(rowWords({ ...shared, restorations: 0, decided: 0 })).toBe(
      "open, no restoration here, 3 more at other sites",
    );
    expect(rowWords({ ...shared, closed_at: "2026-11-24T12:00:00Z" })).toBe(
      "closed 24 Nov 2026, 12 restorations, 3 more at other sites",
    );
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

describe("a look-back that is open", () => {
  const done = { ...page.counts, undecided: 0 };
  it("waits for every decision, those at other sites last", () => {
    expect(waitsFor({ ...page, counts: { ...done, undecided: 1 } })).toBe(
      "1 of them wants a decision before it is closed.",
    );
    const shared = { counts: done, elsewhere: { restorations: 3, undecided: 2 } };
    expect(waitsFor(shared)).toBe("2 made at other sites want a decision there before it is closed.");
    expect(waitsFor({ ...page, counts: done })).toBe("");
  });
});

describe("what stands on paper", () => {
  const counts = { all: 1204, undecided: 250, recall: 4, watch: 1, none: 949 };
  it("is told where it is not all of it", () => {
    expect(paperWords(1204, counts, "all")).toBe("");
    expect(paperWords(100, counts, "all")).toBe(
      "The first 100 of 1,204 restorations: to have all of them on paper, use Print on the page itself.",
    );
    expect(paperWords(4, counts, "recall")).toBe(
      "4 restorations, decided as recall. The look-back has 1,204 restorations in all.",
    );
    expect(paperWords(100, counts, "undecided")).toBe(
      "The first 100 of 250 restorations without a decision: to have all of them on paper, use Print on the page itself. The look-back has 1,204 restorations in all.",
    );
  });
  it("ends with what the audit log can be checked by", () => {
    const in_groups = (digits: string): string => Array(8).fill(digits).join(" ");
    expect(logWords(page.log)).toEqual([
      `Audit log, newest root, over 312 changes: ${in_groups("0123abcd")}`,
      'Altered since? throughcure audit verify FILE --root "HEX" --size 312 tells: FILE is the exported log, HEX the root above.',
      `The practice's public key, for --key: ${in_groups("4567ef89")}`,
    ]);
  });
});
