import { describe, expect, it } from "vitest";
import { type Light, mapSentence, pairs, sentence, shareLeft } from "./light";

const light: Light = {
  id: "a",
  name: "A",
  tip_diameter_mm: 8,
  power_mw: { value: 503 },
  exitance_mw_cm2: { value: 1000, low: 900, high: 1100 },
  shares: { below_385: 0, from_385_to_515: 1, above_515: 0 },
  map: { columns: 2, rows: 1, mm_per_pixel: 1, left_mm: 0, top_mm: 0, irradiance_mw_cm2: [900, 1400] },
  beam: [],
  spectrum: { wavelength_nm: [450, 460], power_mw_per_nm: [1, 2] },
  distance: { aperture_mm: 4, mm: [0, 6, 10], irradiance_mw_cm2: [1000, 500, 320], measured: [] },
};

describe("the sentence of a light", () => {
  it("says what the tip gives and what is left", () => {
    expect(sentence(light)).toBe(
      "This tip, 8\u00a0mm wide, gives 1,000\u00a0mW/cm²; at 8\u00a0mm distance 41\u00a0% of the irradiance on its axis is left.",
    );
  });
  it("says nothing about a distance to which nobody followed the light", () => {
    const near = { ...light, distance: { ...light.distance, mm: [0, 6], irradiance_mw_cm2: [1000, 500] } };
    expect(shareLeft(near, 8)).toBeUndefined();
    expect(sentence(near)).toBe("This tip, 8\u00a0mm wide, gives 1,000\u00a0mW/cm².");
  });
  it("describes the map", () => {
    expect(mapSentence(light)).toContain("1,400\u00a0mW/cm² at the brightest place");
  });
});

describe("pairs", () => {
  it("never reads past the shorter", () => {
    expect(pairs([1, 2, 3], [4, 5])).toEqual([
      [1, 4],
      [2, 5],
    ]);
  });
});
