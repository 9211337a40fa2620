import { describe, expect, it } from "vitest";
import { page } from "./invented";
import {
  boundsOf,
  marksOf,
  marksRows,
  marksSay,
  outputPicture,
  outputRows,
  outputSays,
  outputWords,
  timeOf,
} from "./pictures";

const rows = page.restorations;
const unsmoothed = {
  ...page,
  good_until: null,
  output: {
    ...page.output,
    step: null,
    course: page.output.course.map((point) => ({ ...point, step: null, decline: null })),
  },
};

describe("the time in doubt", () => {
  it("goes from the last good check to the withdrawal, with every restoration in it", () => {
    const late = rows.map((row, i) => (i === 0 ? { ...row, placed_at: "2026-11-23T10:00:00.000000Z" } : row));
    const time = timeOf(page, late);
    expect(time.from).toBeLessThan(Date.parse(page.good_until ?? ""));
    expect(time.to).toBeGreaterThan(Date.parse("2026-11-23T10:00:00Z"));
    expect(boundsOf(time).map((one) => one.words)).toEqual(["last good check", "withdrawn"]);
    expect(boundsOf(timeOf(unsmoothed, [])).map((one) => one.words)).toEqual(["withdrawn"]);
  });
});

describe("the picture of the output", () => {
  it("draws step and decline with their weights, each named on its side where they are farthest apart", () => {
    const picture = outputPicture(page, timeOf(page, rows));
    expect(picture.courses.map((one) => one.words)).toEqual(["a step: 62\u00a0%", "a decline: 38\u00a0%"]);
    expect(picture.courses.map((one) => one.named)).toEqual([
      { at: Date.parse("2026-11-12T08:00:00Z"), y: 700, above: true },
      { at: Date.parse("2026-11-12T08:00:00Z"), y: 535, above: false },
    ]);
    expect(picture.band.length).toBe(20);
    expect(picture.dots.map((one) => one.y)).toEqual([820, 430]);
    expect(picture.levels.map((one) => one.words)).toEqual(["limit 656"]);
    expect(picture.levels[0]?.source).toMatch(/as Radiometer A shows it: 80 % of its baseline/);
    expect(picture.dots[0]?.says).toMatch(/: 820 mW\/cm² on Radiometer A$/);
    expect(picture.dots[1]?.says).toMatch(
      /: 516 mW\/cm² on Radiometer B; drawn at 430, as Radiometer A shows it$/,
    );
    expect(picture.events.map((one) => one.words)).toEqual(["tip replaced"]);
    expect(picture.yTo).toBe(1000);
  });
  it("says when a step would have come, and where nothing could be smoothed", () => {
    expect(outputWords(page)).toContain("between 5 Nov 2026 and 18 Nov 2026");
    expect(outputSays(page)).toContain(
      "the output went from about 700 to 415 mW/cm², as Radiometer A shows it.",
    );
    expect(outputWords(unsmoothed)).toContain("Without a good check");
    expect(outputPicture(unsmoothed, timeOf(unsmoothed, rows)).courses).toEqual([]);
    expect(outputRows(unsmoothed)[0]).toEqual(["2026-11-01T08:00:00.000000Z", 650, 700, 750, "", ""]);
  });
});

describe("the picture of the restorations", () => {
  it("has a mark for each at the chance by which it is ranked", () => {
    const marks = marksOf(rows);
    expect(marks.map((one) => [one.id, one.chance, one.recomputed])).toEqual([
      [2, 0.72, true],
      [1, 0.4, false],
    ]);
    expect(marksSay(page, marks)).toBe(
      "2 restorations. The most doubtful: 36 DO, 18 Nov 2026: 72\u00a0% under-cured.",
    );
    expect(marksSay({ ...page, counts: { ...page.counts, all: 1204 } }, marks)).toContain(
      "1,204 restorations, 2 of them drawn.",
    );
  });
  it("has no chart number in what is saved of it", () => {
    expect(JSON.stringify(marksRows(rows))).not.toContain("C-2");
  });
});
