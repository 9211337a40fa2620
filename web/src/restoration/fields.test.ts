import { expect, test } from "vitest";
import type { CaseDocument } from "./case";
import { labelOf, nameOf, placeOf, problemOf, saidAt } from "./fields";

const document: CaseDocument = {
  tooth: { number: 36 },
  cavity: { distal: { floor_below_cusps_mm: 6 } },
  paste: { material: "paste.toml" },
  increment: [
    { layering: "horizontal", thickness_mm: 2 },
    { layering: "horizontal", thickness_mm: 2 },
    { layering: "bulk" },
  ],
  light: { file: "light.toml" },
  exposure: [],
};

test("a field is named as its label calls it", () => {
  expect(nameOf("increment[3].thickness_mm")).toBe("Increment 3, thickness");
  expect(labelOf("increment[3].thickness_mm")).toEqual({ label: "Increment 3, thickness", unit: "mm" });
  expect(nameOf("cavity.distal.floor_below_cusps_mm")).toBe("Distal box, floor below the cusps");
  expect(nameOf("exposure[2].tilt_to")).toBe("Exposure 2, the tip leans to");
  expect(nameOf("hand.wander_sd_mm")).toBe("Hand: aim, give or take");
  expect(nameOf("adhesive.thickness_mm")).toBe("Adhesive, thickness");
  expect(nameOf("matrix.upper_edge_mm")).toBe("Band, upper edge");
  expect(nameOf("light.output_share")).toBe("Output today, of what is stated");
});

test("a sentence of the server is its key and its words; what names no key stays whole", () => {
  expect(
    problemOf("restoration: increment[2].thickness_mm: -1 mm is no size for it. Give a length."),
  ).toEqual({
    key: "increment[2].thickness_mm",
    name: "Increment 2, thickness",
    words: "-1 mm is no size for it. Give a length.",
  });
  const whole = "materials/a.toml:3: resin.n: it is missing.";
  expect(problemOf(whole)).toEqual({ key: "", name: "", words: whole });
});

test("what is wrong is said at a field that there is", () => {
  expect(placeOf("increment[2].thickness_mm", document)).toBe("increment[2].thickness_mm");
  expect(placeOf("increment[3].thickness_mm", document)).toBe("increment[3].layering");
  expect(placeOf("cavity.distal.floor_below_cusps_mm", document)).toBe("cavity.distal.floor_below_cusps_mm");
  expect(placeOf("cavity.mesial", document)).toBe("cavity");
  expect(placeOf("matrix.upper_edge_mm", document)).toBe("matrix.kind");
  expect(placeOf("exposure[2].seconds", document)).toBe("exposure[2]");
  expect(placeOf("", document)).toBeUndefined();
  const two = ["tooth.number: a.", "tooth.gingiva_crest_mm: b."].map(problemOf);
  expect(saidAt(two, document).get("tooth.number")).toBe("a. b.");
});
