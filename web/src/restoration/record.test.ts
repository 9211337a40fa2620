import { describe, expect, it } from "vitest";
import type { CaseDocument, Choices } from "./case";
import {
  foundSentence,
  inHundred,
  keptCase,
  lightsFor,
  type Made,
  madeFields,
  madeSentence,
  otherLightWords,
  outputOf,
  type RestorationSheet,
  type SheetLight,
  searchOf,
  surfacesOf,
  withLight,
} from "./record";

const light = (more: Partial<SheetLight> = {}): SheetLight => ({
  id: 2,
  name: "Lamp 2",
  room_name: "Room 1",
  state: "watch",
  why: "",
  overdue: false,
  file: "lights/a.toml",
  today: { p10: 720, p50: 800, p90: 880 },
  tips: [],
  ...more,
});
const document = (): CaseDocument =>
  ({
    cavity: { occlusal: {}, distal: {} },
    light: { file: "lights/a.toml", output_share: { value: 0.7, low: 0.6, high: 0.8 }, barrier: "none" },
    exposure: [{ state: "s", aim: "a", from: "occlusal", standoff_mm: 0, seconds: 20, mode: "soft start" }],
  }) as unknown as CaseDocument;
const choices = { lights: [{ file: "lights/a.toml", exitance_mw_cm2: 1000 }] } as unknown as Choices;

describe("today's output in a case", () => {
  it("is a share of what the light's file states, as a standard deviation", () => {
    const output = outputOf(light(), 1000, "2026-11-27T10:00:00Z");
    expect(output?.value).toBe(0.8);
    // 10 % to 90 % of a normal is 2.563 standard deviations (tables of the normal distribution).
    expect(output?.sd).toBeCloseTo(0.16 / 2.563, 4);
    expect(output).not.toHaveProperty("low");
    expect(output?.source).toContain("Lamp 2");
  });

  it("is not made up for a light that was never read", () => {
    expect(outputOf(light({ today: null }), 1000, "")).toBeUndefined();
    const next = withLight(document(), light({ today: null }), choices, "");
    expect(next.light.output_share).toBeUndefined();
  });

  it("takes the place of what was said before; the mode stays with the same light and goes with another", () => {
    const same = withLight(document(), light(), choices, "2026-11-27");
    expect(same.light.output_share).toMatchObject({ value: 0.8 });
    expect(same.exposure[0]?.mode).toBe("soft start");
    expect(same.light.barrier).toBe("none");
    const other = withLight(document(), light({ file: "lights/b.toml" }), choices, "2026-11-27");
    expect(other.light.file).toBe("lights/b.toml");
    expect(other.light.output_share).toBeUndefined();
    expect(other.exposure[0]?.mode).toBeUndefined();
  });
});

describe("a restoration that is corrected", () => {
  const tips = [
    { id: 21, name: "straight", diameter_mm: 8 },
    { id: 22, name: "turbo", diameter_mm: 11 },
  ];
  const sheet = {
    at: "",
    lights: [light({ tips }), light({ id: 3, name: "Lamp 3", file: "lights/b.toml" })],
    materials: [],
  } as RestorationSheet;
  it("has its light and tip among those that the records give", () => {
    const fields = madeFields(sheet);
    expect(fields.find((one) => one.name === "light")?.options?.map((one) => one.label)).toEqual([
      "Lamp 2, Room 1",
      "Lamp 3, Room 1",
    ]);
    expect(fields.find((one) => one.name === "tip")).toMatchObject({
      follows: "light",
      options: [
        { value: 21, of: 2 },
        { value: 22, of: 2 },
      ],
    });
    expect(madeFields(undefined).map((one) => one.name)).toEqual([
      "chart",
      "placed_at",
      "surfaces",
      "lot",
      "note",
    ]);
  });
  it("says where its case was planned with another light", () => {
    const resolved_case = JSON.stringify({ version: 1, document: { light: { file: "lights/a.toml" } } });
    const made = { light: 2, resolved_case } as Made;
    expect(otherLightWords(made, sheet)).toBe("");
    expect(otherLightWords({ ...made, light: 3 }, sheet)).toMatch(/another light \(lights\/a\.toml\)/);
    expect(otherLightWords({ ...made, light: 3, resolved_case: null }, sheet)).toBe("");
    expect(otherLightWords({ ...made, light: 9 }, sheet)).toBe("");
  });
});

describe("what is recorded", () => {
  it("names the surfaces of the cavity", () => {
    const of = (cavity: unknown): string => surfacesOf(cavity as CaseDocument["cavity"]);
    expect(of({ occlusal: {}, distal: {} })).toBe("DO");
    expect(of({ occlusal: {}, mesial: {} })).toBe("MO");
    expect(of({ occlusal: {}, mesial: {}, distal: {} })).toBe("MOD");
    expect(of({ occlusal: {} })).toBe("O");
    expect(of({ front: { side: "mesial" } })).toBe("M");
  });

  it("is told without a false certainty", () => {
    expect(inHundred(0.9999)).toBe("more than 99 in 100");
    expect(inHundred(0)).toBe("less than 1 in 100");
    expect(inHundred(0.874)).toBe("about 87 in 100");
    const made = { tooth: "46", surfaces: "DO", probability: 0.874 } as Made;
    expect(madeSentence(made)).toContain("Tooth 46, DO");
    expect(madeSentence({ ...made, probability: null })).toContain("without a case");
  });

  it("gives back the case that was kept, also of older records, and none of newer ones", () => {
    const made = (resolved_case: string | null): Made => ({ resolved_case }) as Made;
    expect(keptCase(made(null))).toBeUndefined();
    expect(keptCase(made('{"tooth":{"number":36}}'))).toEqual({ tooth: { number: 36 } });
    expect(keptCase(made('{"version":1,"document":{"tooth":{"number":36}}}'))).toEqual({
      tooth: { number: 36 },
    });
    expect(keptCase(made('{"version":2,"document":{}}'))).toBeUndefined();
  });

  it("is asked for by its chart number, with whole days of this device's clock", () => {
    expect(searchOf({ chart: " 4711 ", tooth: "", from: "", to: "" })).toEqual({ chart: "4711" });
    expect(searchOf({ chart: "4711", tooth: " 36", from: "2026-11-26", to: "2026-11-30" })).toEqual({
      chart: "4711",
      tooth: "36",
      from: new Date(2026, 10, 26).toISOString(),
      to: new Date(2026, 11, 1).toISOString(),
    });
    const one = { id: 1, tooth: "36", surfaces: "", placed_at: "2026-11-26T08:00:00Z", probability: null };
    expect(foundSentence({ restorations: [], more: false }, "4711")).toBe(
      "No restoration of chart 4711 is on record here.",
    );
    expect(foundSentence({ restorations: [one], more: false }, "4711")).toBe(
      "One restoration of chart 4711 is on record.",
    );
    expect(foundSentence({ restorations: [one, one], more: true }, "4711")).toContain("More than 2");
  });

  it("offers the lights of the planned file only", () => {
    const sheet = {
      at: "",
      lights: [light(), light({ id: 3, file: null })],
      materials: [],
    } as RestorationSheet;
    expect(lightsFor(document(), sheet).map((one) => one.id)).toEqual([2]);
    expect(lightsFor(document(), undefined)).toEqual([]);
  });
});
