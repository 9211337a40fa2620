import { describe, expect, it } from "vitest";
import { recordOf, typedOfAll } from "../setup/form";
import type { RestorationSheet } from "./record";
import { operatorOptions, unplannedFields, unplannedPreset } from "./unplanned";

const light = (id: number, tips: number[], left_at: string | null = null) => ({
  id,
  name: `Lamp ${id}`,
  room_name: "Room 1",
  left_at,
  state: "in use" as const,
  why: "",
  overdue: false,
  file: null,
  today: null,
  tips: tips.map((tip) => ({ id: tip, name: `tip ${tip}`, diameter_mm: 8 })),
});
const material = (id: number, name: string) => ({
  id,
  name,
  shade: "A3",
  file: null,
  ifu_seconds: null,
  ifu_increment_mm: null,
  lots: [{ number: `L-${id}`, expires_at: null }],
});
const sheet = (more: Partial<RestorationSheet> = {}): RestorationSheet => ({
  at: "",
  lights: [light(1, [11])],
  materials: [material(5, "Universal paste")],
  barriers: [{ id: 3, name: "Sleeve", pass: 0.9, pass_sd: null, source: "measured here" }],
  people: [
    { id: 1, name: "D. Dentist", places: true },
    { id: 2, name: "A. Assistant", places: false },
  ],
  ...more,
});

describe("a restoration that was not planned", () => {
  it("begins with what there is one of, and with who records it", () => {
    expect(unplannedPreset(sheet(), {}, 1)).toEqual({ light: 1, tip: 11, material: 5, placed_by: 1 });
    expect(unplannedPreset(sheet(), {}, 2)).not.toHaveProperty("placed_by");
  });
  it("begins with what was used last here, as far as it is still there", () => {
    const many = sheet({
      lights: [light(1, [11, 12]), light(2, [21]), light(3, [31], "2026-11-24T08:00:00Z")],
      materials: [material(5, "a"), material(6, "b")],
    });
    expect(unplannedPreset(many, {}, undefined)).toEqual({});
    expect(unplannedPreset(many, { light: 1, tip: 12, material: 6, barrier: 3 }, undefined)).toEqual({
      light: 1,
      tip: 12,
      material: 6,
      barrier: 3,
    });
    expect(unplannedPreset(many, { light: 3, tip: 31, material: 9 }, undefined)).toEqual({});
  });
  it("wants chart and tooth typed, and the rest only where it is not preset", () => {
    const fields = unplannedFields(sheet());
    const preset = unplannedPreset(sheet(), {}, 1);
    const typed = { ...typedOfAll(fields, preset), chart: "C-1", tooth: "36" };
    expect(recordOf(fields, typed, preset)).toEqual({
      problems: [],
      record: {
        chart: "C-1",
        tooth: "36",
        surfaces: "",
        lot: "",
        light: 1,
        tip: 11,
        material: 5,
        barrier: null,
        placed_by: 1,
        placed_at: null,
        note: null,
      },
    });
    const empty = recordOf(fields, typedOfAll(fields, {}), {});
    expect(empty.problems.map((one) => one.field)).toEqual([
      "chart",
      "tooth",
      "light",
      "tip",
      "material",
      "placed_by",
    ]);
  });
  it("says of a light that left until when it was here", () => {
    const left = sheet({ lights: [light(3, [31], "2026-11-24T12:00:00Z")] });
    const options = unplannedFields(left).find((one) => one.name === "light")?.options;
    expect(options?.map((one) => one.label)).toEqual(["Lamp 3, Room 1, until 24 Nov 2026"]);
  });
  it("offers those who may place, and whoever stands on record already", () => {
    expect(operatorOptions(sheet()).map((one) => one.label)).toEqual(["D. Dentist"]);
    expect(operatorOptions(sheet(), 2).map((one) => one.value)).toEqual([1, 2]);
  });
});
