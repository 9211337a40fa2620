import { describe, expect, it } from "vitest";
import { apart } from "./levels";

describe("words of level lines", () => {
  it("stay where they are while there is room", () => {
    expect(apart([100, 40], 14, 0, 200)).toEqual([100, 40]);
  });
  it("move apart, and stay inside", () => {
    expect(apart([50, 52, 54], 14, 0, 200)).toEqual([50, 64, 78]);
    expect(apart([196, 198], 14, 0, 200)).toEqual([186, 200]);
    expect(apart([0, 2], 14, 5, 200)).toEqual([5, 19]);
  });
});
