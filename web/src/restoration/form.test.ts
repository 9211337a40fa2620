import { describe, expect, it } from "vitest";
import { type CaseDocument, whole } from "./case";
import {
  addIncrement,
  removeIncrement,
  setBarrier,
  setCavitySize,
  setLayering,
  setLight,
  setMatrix,
  setOutput,
  setTooth,
  toggleCavity,
  wordsOf,
} from "./form";

const base: CaseDocument = whole({
  tooth: { number: 36, distal_neighbour: true },
  cavity: { distal: { floor_below_cusps_mm: 6, width_mm: 4.2, axial_depth_mm: 1.4 } },
  paste: { material: "paste.toml" },
  increment: [
    { layering: "horizontal", thickness_mm: 2 },
    { layering: "horizontal", thickness_mm: 1.5 },
  ],
  matrix: { kind: "metal", thickness_mm: 0.04, wedge: true },
  light: { file: "lamp.toml" },
  exposure: [
    {
      state: "increment 1 placed",
      aim: "distal box",
      from: "occlusal",
      standoff_mm: 1,
      seconds: 20,
      mode: "standard",
    },
    { state: "increment 2 placed", aim: "distal box", from: "occlusal", standoff_mm: 1, seconds: 20 },
    { state: "all placed, band off", aim: "distal box", from: "buccal", standoff_mm: 0, seconds: 20 },
  ],
});

describe("a cavity", () => {
  it("takes a size", () => {
    expect(setCavitySize(base, "distal", "width_mm", 5).cavity.distal).toEqual({
      floor_below_cusps_mm: 6,
      width_mm: 5,
      axial_depth_mm: 1.4,
    });
  });
  it("takes a second box like the first, and gives it back", () => {
    const both = toggleCavity(base, "mesial", true);
    expect(both.cavity.mesial).toEqual(base.cavity.distal);
    expect(toggleCavity(both, "mesial", false).cavity).toEqual(base.cavity);
  });
});

describe("increments", () => {
  it("in bulk have no thickness, and get one back", () => {
    const bulk = setLayering(base, 0, "bulk");
    expect(bulk.increment[0]).toEqual({ layering: "bulk" });
    expect(setLayering(bulk, 0, "oblique buccal").increment[0]).toEqual({
      layering: "oblique buccal",
      thickness_mm: 2,
    });
  });
  it("go with the exposures of their state", () => {
    const fewer = removeIncrement(base);
    expect(fewer.increment).toHaveLength(1);
    expect(fewer.exposure.map((one) => one.state)).toEqual(["increment 1 placed", "all placed, band off"]);
    expect(addIncrement(base).increment[2]).toEqual({ layering: "horizontal", thickness_mm: 1.5 });
    expect(removeIncrement(fewer)).toBe(fewer);
  });
});

describe("without a band", () => {
  it("there is no state after it is off", () => {
    const none = setMatrix(base, "none");
    expect(none.matrix).toBeUndefined();
    expect(none.exposure[2]?.state).toBe("increment 2 placed");
    expect(setMatrix(base, "clear").matrix).toEqual({ kind: "clear", thickness_mm: 0.04, wedge: true });
  });
});

describe("a light", () => {
  it("brings its own modes", () => {
    const other = setLight(base, "other.toml");
    expect(other.light.file).toBe("other.toml");
    expect(other.exposure.every((one) => one.mode === undefined)).toBe(true);
  });
  it("takes today's output", () => {
    expect(setOutput(base, 0.7).light.output_share).toBe(0.7);
  });
});

describe("a barrier and a tooth", () => {
  it("take the place of what said the same in another way", () => {
    const measured = { ...base, light: { file: "lamp.toml", barrier_pass: 0.9 } };
    expect(setBarrier(measured, "latex_smooth").light).toEqual({
      file: "lamp.toml",
      barrier: "latex_smooth",
    });
    const universal = { ...base, tooth: { number: 19, notation: "Universal", dam: true } };
    expect(setTooth(universal, 46).tooth).toEqual({ number: 46, dam: true });
  });
});

describe("wordsOf", () => {
  it("says a key in words and its unit", () => {
    expect(wordsOf("axial_depth_mm")).toEqual({ label: "depth to the axial wall", unit: "mm" });
    expect(wordsOf("some_angle_deg")).toEqual({ label: "some angle", unit: "°" });
  });
});

describe("whole", () => {
  it("says what an exposure left unsaid", () => {
    expect(base.exposure[0]).toMatchObject({ from: "occlusal", tilt_deg: 0 });
  });
});
