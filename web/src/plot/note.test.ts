import { describe, expect, it } from "vitest";
import { noteAt } from "./note";

const words = "57 % left at 8 mm";

describe("the words of a dot", () => {
  it("end at the dot, under a falling curve, where there is room", () => {
    expect(noteAt("under", words, 300, 100, 52, 560)).toEqual({ x: 296, y: 121, anchor: "end" });
  });
  it("never reach over the axis' numbers", () => {
    expect(noteAt("under", words, 170, 100, 52, 346)).toEqual({ x: 174, y: 89, anchor: "start" });
  });
  it("nor out of the plot", () => {
    expect(noteAt("under", words, 150, 100, 52, 200)).toEqual({ x: 200, y: 89, anchor: "end" });
  });
  it("stand beside a peak, on its other side where there is no room", () => {
    expect(noteAt("right", "peak", 100, 50, 52, 346).anchor).toBe("start");
    expect(noteAt("right", "peak", 330, 50, 52, 346)).toEqual({ x: 319, y: 54, anchor: "end" });
    expect(noteAt("left", "peak", 60, 50, 52, 346)).toEqual({ x: 71, y: 54, anchor: "start" });
  });
});
