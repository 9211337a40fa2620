import { describe, expect, it } from "vitest";
import { lastMonths } from "./months";

describe("months to print", () => {
  it("go back over the year's end, the newest first", () => {
    const months = lastMonths(new Date(2026, 1, 28, 23, 59), 4);
    expect(months.map((one) => one.value)).toEqual(["2026-02", "2026-01", "2025-12", "2025-11"]);
    expect(months.map((one) => one.words)).toEqual(["Feb 2026", "Jan 2026", "Dec 2025", "Nov 2025"]);
  });
  it("leave out none on the last day of a long month", () => {
    const months = lastMonths(new Date(2026, 2, 31), 3);
    expect(months.map((one) => one.value)).toEqual(["2026-03", "2026-02", "2026-01"]);
  });
});
