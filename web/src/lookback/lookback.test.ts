import { describe, expect, it } from "vitest";
import {
  chanceWords,
  doubtOf,
  type InDoubt,
  type LookBack,
  listSentence,
  type Row,
  rowWords,
  siftings,
  timelineOf,
  timelineRows,
  timelineSays,
  whyNot,
} from "./lookback";

const row: Row = {
  id: 7,
  light: 3,
  name: "Light 3",
  because: "failed_check",
  note: null,
  good_until: "2026-11-01T08:00:00.000000Z",
  until: "2026-11-20T08:00:00.000000Z",
  opened_at: "2026-11-20T08:00:00.000000Z",
  closed_at: null,
  merged_into: null,
  restorations: 12,
  decided: 5,
};
const doubt = (id: number, day: number, chance: number | null, more: Partial<InDoubt> = {}): InDoubt => ({
  id,
  revision: 1,
  chart: `C-${id}`,
  tooth: "36",
  surfaces: "DO",
  placed_at: `2026-11-${String(day).padStart(2, "0")}T10:00:00.000000Z`,
  placed_by_name: "D. Clinician",
  material: "Paste",
  lot: "L-1",
  probability_then: 0.97,
  chance_under_cured: chance,
  chance_too_weak: 0.4,
  has_case: chance !== null,
  why_not: null,
  output: { p10: 600 - 10 * day, p50: 700 - 10 * day, p90: 800 - 10 * day },
  decision: null,
  ...more,
});
const page: LookBack = {
  ...row,
  revision: 1,
  step_weight: 0.5,
  sentence: "Two restorations were cured with Light 3 since its last good check.",
  state: "done",
  share_done: 1,
  need_mw_cm2: 500,
  counts: { all: 2, undecided: 2, recall: 0, watch: 0, none: 0 },
  restorations: [doubt(2, 18, 0.72), doubt(1, 4, null)],
  after: null,
};

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

describe("the picture", () => {
  it("spans the time from the last good check to the withdrawal, with every restoration in it", () => {
    const timeline = timelineOf(page, page.restorations);
    expect(timeline.from).toBeLessThan(Date.parse(page.good_until ?? ""));
    expect(timeline.to).toBeGreaterThan(Date.parse(page.until));
    expect(timeline.marks.map((one) => [one.id, one.chance, one.recomputed])).toEqual([
      [2, 0.72, true],
      [1, 0.4, false],
    ]);
    expect(timeline.band.map((one) => one.p50)).toEqual([660, 520]);
    expect(timeline.yTo).toBe(800);
    expect(timelineSays(page, timeline)).toContain(
      "2 restorations. The most doubtful: 36 DO, 18 Nov 2026: 72\u00a0% under-cured.",
    );
  });
  it("says how many of them are drawn, where not all are", () => {
    const of_many = { ...page, counts: { ...page.counts, all: 1204 } };
    expect(timelineSays(of_many, timelineOf(of_many, page.restorations))).toContain(
      "1,204 restorations, 2 of them drawn.",
    );
  });
  it("is drawn without a good check, and with no restoration", () => {
    const none = timelineOf({ ...page, good_until: null }, []);
    expect(none.marks).toEqual([]);
    expect(none.to).toBeGreaterThan(none.from);
  });
  it("has no chart number in what is saved of it", () => {
    expect(JSON.stringify(timelineRows(page.restorations))).not.toContain("C-2");
  });
});
