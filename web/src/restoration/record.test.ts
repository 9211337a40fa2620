import { describe, expect, it } from "vitest";
import type { CaseDocument, Choices } from "./case";
import {
  countsOnToday,
  foundSentence,
  inHundred,
  keptCase,
  lightsFor,
  type Made,
  madeFields,
  madeSentence,
  notTodayWords,
  onlyLight,
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
  left_at: null,
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

describe("whether a case counts on what its light gives today", () => {
  const sheetOf = (...lights: SheetLight[]): RestorationSheet =>
    ({ at: "2026-11-27", lights, materials: [], barriers: [], people: [] }) as RestorationSheet;
  it("is told by the case itself, so also after it was read again", () => {
    expect(countsOnToday(document(), light(), choices)).toBe(false);
    const taken = withLight(document(), light(), choices, "2026-11-27");
    expect(countsOnToday(taken, light(), choices)).toBe(true);
    expect(countsOnToday(taken, light({ today: { p10: 540, p50: 600, p90: 660 } }), choices)).toBe(false);
    expect(countsOnToday(document(), light({ today: null }), choices)).toBe(true);
    expect(countsOnToday(document(), light(), undefined)).toBe(true);
  });
  it("is said plainly where it does not", () => {
    const plain = { ...document(), light: { file: "lights/a.toml" } };
    expect(notTodayWords(plain, [light({ name: "Lamp 3" })])).toBe(
      "This case counts on what the file states, not on what Lamp 3 gives today.",
    );
    expect(notTodayWords(document(), [light(), light({ id: 3 })])).toBe(
      "This case counts on 70\u00a0% of what the file states, not on what one of your lights gives today.",
    );
    expect(notTodayWords(plain, [])).toBe("");
  });
  it("is so for a new case with one light of its file that was read", () => {
    expect(onlyLight(document(), sheetOf(light()))?.id).toBe(2);
    expect(onlyLight(document(), sheetOf(light(), light({ id: 3 })))).toBeUndefined();
    expect(
      onlyLight(document(), sheetOf(light(), light({ id: 3, left_at: "2026-11-20T08:00:00Z" })))?.id,
    ).toBe(2);
    expect(onlyLight(document(), sheetOf(light({ today: null })))).toBeUndefined();
    expect(onlyLight(document(), sheetOf(light({ file: "lights/b.toml" })))).toBeUndefined();
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
    barriers: [],
    people: [],
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
  it("has its operator, and without a case its tooth, its material and its barrier too", () => {
    const full = {
      ...sheet,
      barriers: [
        { id: 1, name: "Sleeve", pass: 0.9, pass_sd: null, source: "" },
        { id: 2, name: "Film", pass: 0.9, pass_sd: null, source: "" },
      ],
      people: [
        { id: 1, name: "D. Dentist", places: true },
        { id: 2, name: "F. Formerly", places: false },
        { id: 3, name: "A. Assistant", places: false },
      ],
    };
    const names = (made: Partial<Made>): string[] =>
      madeFields(full, { placed_by: 2, barrier_pass: 0.7, resolved_case: null, ...made }).map(
        (one) => one.name,
      );
    const always = ["chart", "placed_at", "placed_by", "light", "tip"];
    expect(names({})).toEqual([...always, "tooth", "surfaces", "material", "barrier_pass", "lot", "note"]);
    expect(names({ resolved_case: "{}" })).toEqual([...always, "surfaces", "lot", "note"]);
    const fields = madeFields(full, { placed_by: 2, barrier_pass: 0.7, resolved_case: null });
    const labels = (name: string) =>
      fields.find((one) => one.name === name)?.options?.map((one) => one.label);
    expect(labels("placed_by")).toEqual(["D. Dentist", "F. Formerly"]);
    expect(labels("barrier_pass")).toEqual([
      "Sleeve, Film, lets 90\u00a0% through",
      "lets 70\u00a0% through",
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
      barriers: [],
      people: [],
    } as RestorationSheet;
    expect(lightsFor(document(), sheet).map((one) => one.id)).toEqual([2]);
    expect(lightsFor(document(), undefined)).toEqual([]);
  });
});
