import { describe, expect, it } from "vitest";
import { interval, percent, percents, text, withUnit } from "./numbers";

describe("text", () => {
  it("rounds to significant digits and groups thousands", () => {
    expect(text(1234.5)).toBe("1,230");
    expect(text(0.012345)).toBe("0.0123");
    expect(text(8)).toBe("8");
    expect(text(-4)).toBe("\u22124");
    expect(text(0)).toBe("0");
    expect(text(Number.NaN)).toBe("not known");
  });
});

describe("percent", () => {
  it("is whole, and honest about small shares", () => {
    expect(percent(0.414)).toBe("41\u00a0%");
    expect(percent(0.001)).toBe("under 1\u00a0%");
    expect(percent(0)).toBe("0\u00a0%");
    expect(percent(1)).toBe("100\u00a0%");
  });
});

describe("percents", () => {
  it("says the sign once", () => {
    expect(percents(0.384, 0.44)).toBe("38 to 44\u00a0%");
    expect(percents(0.001, 0.02)).toBe("under 1 to 2\u00a0%");
    expect(percents(0.991, 0.994)).toBe("99\u00a0%");
  });
});

describe("interval", () => {
  it("is said only where it is known", () => {
    expect(interval({ value: 1000, low: 900, high: 1100 })).toBe("900 to 1,100");
    expect(interval({ value: 1000 })).toBe("");
    expect(interval({ value: 1000, low: 900 })).toBe("");
  });
});

describe("withUnit", () => {
  it("keeps the number and its unit together", () => {
    expect(withUnit(8, "mm")).toBe("8\u00a0mm");
    expect(withUnit(0.8, "")).toBe("0.8");
  });
});
