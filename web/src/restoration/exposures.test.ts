import { describe, expect, it } from "vitest";
import { buttonsOf, type CaseDocument, type Choices, numberOf, withValue } from "./case";
import {
  add,
  canMove,
  chairTime,
  hold,
  lateral,
  move,
  removeAt,
  repeat,
  setFrom,
  setState,
  standoff,
  tilt,
} from "./exposures";

const states = ["adhesive bare", "increment 1 placed", "all placed, band off"];

function exposure(state: string, seconds: number) {
  return {
    state,
    aim: "distal box floor",
    from: "occlusal" as const,
    tilt_deg: 20,
    tilt_to: "distal" as const,
    standoff_mm: 6,
    seconds,
  };
}

const poor: CaseDocument = {
  tooth: { number: 36 },
  cavity: { distal: { floor_below_cusps_mm: 6 } },
  paste: { material: "paste.toml" },
  increment: [{ layering: "horizontal", thickness_mm: 2 }],
  light: { file: "lamp.toml", output_share: { value: 0.8, low: 0.7, high: 0.9, kind: "invented" } },
  exposure: [
    exposure("adhesive bare", 10),
    exposure("increment 1 placed", 20),
    exposure("increment 1 placed", 30),
  ],
};
const seconds = (document: CaseDocument): number[] => document.exposure.map((one) => one.seconds);
const statesOf = (document: CaseDocument): string[] => document.exposure.map((one) => one.state);

describe("an edit", () => {
  it("leaves the old document as it was, and keeps what it does not know", () => {
    const before = structuredClone(poor);
    const after = hold(poor, 1, standoff(2.04), false);
    expect(after.exposure[0]?.standoff_mm).toBe(6);
    expect(after.exposure[1]?.standoff_mm).toBe(2);
    expect(poor).toEqual(before);
    expect(after.cavity).toBe(poor.cavity);
  });
  it("keeps to the limits", () => {
    expect(standoff(-3)).toEqual({ standoff_mm: 0 });
    expect(standoff(99)).toEqual({ standoff_mm: 15 });
    expect(tilt(95, "mesial")).toEqual({ tilt_deg: 80, tilt_to: "mesial" });
  });
  it("holds the light alike in all exposures from the same side", () => {
    const sides = add(poor, lateral(poor, "buccal", states), states).document;
    const near = hold(sides, 1, standoff(2), true);
    expect(near.exposure.map((one) => one.standoff_mm)).toEqual([2, 2, 2, 0]);
    expect(hold(sides, 3, standoff(1), true).exposure.map((one) => one.standoff_mm)).toEqual([6, 6, 6, 1]);
  });
  it("from another side is upright, with a tilt that is possible there", () => {
    expect(setFrom(poor, 0, "buccal").exposure[0]).toMatchObject({ tilt_deg: 0, tilt_to: "distal" });
    const across = hold(poor, 0, tilt(10, "lingual"), false);
    expect(setFrom(across, 0, "buccal").exposure[0]).toMatchObject({ tilt_deg: 0, tilt_to: "occlusal" });
  });
});

describe("the order of a schedule", () => {
  it("is that of the states", () => {
    const { document, picked } = setState(poor, 0, "all placed, band off", states);
    expect(seconds(document)).toEqual([20, 30, 10]);
    expect(picked).toBe(2);
  });
  it("changes places inside a state, and goes over at its border", () => {
    expect(seconds(move(poor, 1, 1, states).document)).toEqual([10, 30, 20]);
    expect(move(poor, 1, 1, states).picked).toBe(2);
    const earlier = move(poor, 1, -1, states);
    expect(seconds(earlier.document)).toEqual([10, 20, 30]);
    expect(statesOf(earlier.document)).toEqual(["adhesive bare", "adhesive bare", "increment 1 placed"]);
  });
  it("has ends", () => {
    expect(canMove(poor, 0, -1, states)).toBe(false);
    expect(canMove(poor, 2, 1, states)).toBe(true);
    const last = setState(poor, 2, "all placed, band off", states).document;
    expect(canMove(last, 2, 1, states)).toBe(false);
  });
  it("takes new exposures after those of their state", () => {
    const { document, picked } = add(poor, exposure("adhesive bare", 5), states);
    expect(seconds(document)).toEqual([10, 5, 20, 30]);
    expect(picked).toBe(1);
    expect(seconds(repeat(poor, 1).document)).toEqual([10, 20, 20, 30]);
  });
  it("never becomes empty", () => {
    const one = removeAt(removeAt(poor, 2).document, 0);
    expect(seconds(one.document)).toEqual([20]);
    expect(removeAt(one.document, 0).document).toBe(one.document);
  });
});

describe("a lateral exposure", () => {
  it("comes after the band is off, upright, at the box", () => {
    expect(lateral(poor, "buccal", states)).toMatchObject({
      state: "all placed, band off",
      aim: "distal box",
      from: "buccal",
      tilt_deg: 0,
      standoff_mm: 0,
      seconds: 30,
    });
  });
});

describe("chairTime", () => {
  it("counts light and pauses", () => {
    const paused = {
      ...poor,
      exposure: poor.exposure.map((one, i) => ({ ...one, pause_before_s: i === 0 ? 0 : 15 })),
    };
    expect(chairTime(paused)).toEqual({ light_s: 60, all_s: 90 });
  });
});

describe("an amount", () => {
  it("moves its interval along", () => {
    expect(withValue(poor.light.output_share, 0.4)).toEqual({
      value: 0.4,
      low: 0.35,
      high: 0.45,
      kind: "invented",
    });
    expect(withValue(undefined, 0.4)).toBe(0.4);
    expect(numberOf(poor.light.output_share)).toBe(0.8);
    expect(numberOf(0.5)).toBe(0.5);
  });
});

describe("buttonsOf", () => {
  const choices: Choices = {
    lights: [
      {
        file: "lamp.toml",
        name: "lamp",
        tip_diameter_mm: 8,
        exitance_mw_cm2: 1000,
        modes: [
          { name: "standard", buttons_s: [5, 10, 20] },
          { name: "soft start", buttons_s: [20] },
        ],
      },
    ],
    materials: [],
    barriers: [],
    teeth: [],
  };
  it("are those of the mode, or of the light's first", () => {
    const first = exposure("adhesive bare", 10);
    expect(buttonsOf(choices, poor, first)).toEqual([5, 10, 20]);
    expect(buttonsOf(choices, poor, { ...first, mode: "soft start" })).toEqual([20]);
    expect(buttonsOf(undefined, poor, first)).toEqual([]);
  });
});
