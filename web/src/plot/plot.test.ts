import { describe, expect, it } from "vitest";
import { csv } from "./csv";
import { area, line, valueAt } from "./path";
import { conversion, light, lightnessOf } from "./ramp";
import { at, marks, roundUp } from "./scale";

const x = { from: 0, to: 10, start: 100, end: 200 };
const y = { from: 0, to: 1, start: 50, end: 0 };

describe("scale", () => {
  it("maps values to pixels", () => {
    expect(at(x, 0)).toBe(100);
    expect(at(x, 5)).toBe(150);
    expect(at(y, 1)).toBe(0);
  });
  it("marks round values", () => {
    expect(marks(x, 50)).toEqual([0, 5, 10]);
  });
  it("rounds up to a mark", () => {
    expect(roundUp(1000)).toBe(1000);
    expect(roundUp(1001)).toBe(1500);
    expect(roundUp(0.23)).toBeCloseTo(0.25);
    expect(roundUp(0)).toBe(1);
    expect(roundUp(Number.NaN)).toBe(1);
  });
});

describe("paths", () => {
  it("draw a line and the area below it", () => {
    const points = [
      [0, 0],
      [10, 1],
    ] as const;
    expect(line(points, x, y)).toBe("M100.0 50.0L200.0 0.0");
    expect(area(points, x, y)).toBe("M100.0 50.0L200.0 0.0L200.0 50.0L100.0 50.0Z");
    expect(area([], x, y)).toBe("");
  });
  it("read a value between points", () => {
    const points = [
      [0, 10],
      [10, 20],
    ] as const;
    expect(valueAt(points, 4)).toBe(14);
    expect(valueAt(points, -1)).toBe(10);
    expect(valueAt(points, 99)).toBe(20);
    expect(valueAt([], 1)).toBeUndefined();
  });
});

describe("the ramp of light", () => {
  it("runs evenly from ink to white, with no step back", () => {
    const steps = Array.from({ length: 33 }, (_, i) => lightnessOf(light(i / 32)));
    for (let i = 1; i < steps.length; i++) {
      const rise = (steps[i] ?? 0) - (steps[i - 1] ?? 0);
      expect(rise).toBeGreaterThan(0.01);
      expect(rise).toBeLessThan(0.04);
    }
    expect(light(1)).toBe("#ffffff");
    expect(light(7)).toBe("#ffffff");
    expect(light(-1)).toBe(light(0));
  });
});

describe("csv", () => {
  it("writes a header and rows, and quotes what needs it", () => {
    expect(
      csv(
        ["distance [mm]", "a, b"],
        [
          [0, 1.5],
          [1, 'x"y'],
        ],
      ),
    ).toBe('distance [mm],"a, b"\r\n0,1.5\r\n1,"x""y"\r\n');
  });
  it("keeps text from being taken for a formula", () => {
    expect(csv(["=1+1"], [])).toBe("'=1+1\r\n");
    expect(csv(["x"], [[-1]])).toBe("x\r\n-1\r\n");
  });
});

describe("the ramp of conversion", () => {
  it("gets darker in even steps from straw to teal", () => {
    const steps = [0, 0.25, 0.5, 0.75, 1].map((share) => lightnessOf(conversion(share)));
    steps.forEach((lightness, i) => {
      expect(lightness).toBeCloseTo(0.93 - 0.56 * (i / 4), 2);
    });
    expect(conversion(-1)).toBe(conversion(0));
    expect(conversion(2)).toBe(conversion(1));
  });
});
