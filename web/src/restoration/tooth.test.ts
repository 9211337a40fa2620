import { describe, expect, it } from "vitest";
import { type CaseDocument, whole } from "./case";
import { isoNumber, numberIn, setNotation } from "./tooth";

const named = (number: number, notation?: string): CaseDocument =>
  whole({
    tooth: notation === undefined ? { number } : { number, notation },
    cavity: {},
    paste: { material: "paste.toml" },
    increment: [],
    light: { file: "lamp.toml" },
    exposure: [],
  });

describe("a tooth's number", () => {
  // Universal runs clockwise as one looks at the patient, from the upper right third molar to the lower right one.
  it.each([
    [1, 18],
    [8, 11],
    [9, 21],
    [16, 28],
    [17, 38],
    [19, 36],
    [24, 31],
    [25, 41],
    [30, 46],
    [32, 48],
  ])("Universal %i is ISO 3950 %i", (universal, iso) => {
    expect(isoNumber(named(universal, "Universal").tooth)).toBe(iso);
    expect(numberIn("Universal", iso)).toBe(universal);
    expect(numberIn("ISO 3950", iso)).toBe(iso);
  });
  it("is ISO 3950 where no notation is named", () => {
    expect(isoNumber(named(19).tooth)).toBe(19);
  });
  it("stays that of the same tooth in another notation", () => {
    const universal = setNotation(named(36), "Universal");
    expect(universal.tooth).toEqual({ number: 19, notation: "Universal" });
    expect(setNotation(universal, "ISO 3950").tooth).toEqual({ number: 36, notation: "ISO 3950" });
  });
});
