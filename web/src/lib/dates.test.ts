import { describe, expect, it } from "vitest";
import { date, isDayOver, timeMarks } from "./dates";

const ms = (...parts: [number, number, number]): number => new Date(...parts).getTime();

describe("dates", () => {
  it("name the month in letters", () => {
    expect(date(ms(2026, 10, 6))).toBe("6 Nov 2026");
    expect(date(ms(2026, 10, 6), "monthOfYear")).toBe("Nov 2026");
  });
});

describe("a day that something is good until", () => {
  it("is not over before it ends, and is from then on", () => {
    const noon = new Date(2026, 10, 6, 12).getTime();
    expect(isDayOver(noon, new Date(2026, 10, 6, 23, 59))).toBe(false);
    expect(isDayOver(noon, new Date(2026, 10, 7, 0, 0))).toBe(true);
    expect(isDayOver(new Date(2026, 10, 6).toISOString(), new Date(2026, 10, 6, 13))).toBe(false);
  });
});

describe("marks of time", () => {
  it("stand on days where there are few", () => {
    expect(timeMarks(ms(2026, 10, 3), ms(2026, 10, 6), 8).map((one) => one.words)).toEqual([
      "3 Nov",
      "4 Nov",
      "5 Nov",
      "6 Nov",
    ]);
  });
  it("stand on months, with the year where it begins and at the first", () => {
    expect(timeMarks(ms(2025, 9, 5), ms(2026, 2, 5), 8).map((one) => one.words)).toEqual([
      "Nov 2025",
      "Dec",
      "Jan 2026",
      "Feb",
      "Mar",
    ]);
  });
  it("stand on years where there are many, and are never more than fit", () => {
    expect(timeMarks(ms(2020, 5, 1), ms(2026, 2, 5), 8).map((one) => one.words)).toEqual([
      "2021",
      "2022",
      "2023",
      "2024",
      "2025",
      "2026",
    ]);
    for (const days of [1, 10, 50, 80, 300, 700, 3000, 9000]) {
      const marks = timeMarks(ms(2020, 5, 1), ms(2020, 5, 1) + days * 86_400_000, 6);
      expect(marks.length).toBeLessThanOrEqual(8);
    }
  });
});
