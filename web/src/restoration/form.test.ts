import { describe, expect, it } from "vitest";
import { type CaseDocument, whole } from "./case";
import {
  addIncrement,
  kindOf,
  newCase,
  ownBarrierOf,
  removeIncrement,
  setBarrier,
  setCavitySize,
  setKind,
  setLayering,
  setLight,
  setMatrix,
  setOutput,
  setOwnBarrier,
  setTooth,
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
  const box = { floor_below_cusps_mm: 5, width_mm: 3, axial_depth_mm: 1 };
  const top = { floor_below_cusps_mm: 4, width_mm: 2.5, length_mm: 4.5 };
  const increment = [{ layering: "horizontal", thickness_mm: 2 }, { layering: "bulk" }];
  const one = { name: "Class I", cavity: { occlusal: top }, increment: [{ layering: "bulk" }] };
  const mod = { name: "MOD", cavity: { occlusal: top, mesial: box, distal: box }, increment };
  const front = {
    name: "Class III, mesial",
    cavity: { front: { side: "mesial", axial_depth_mm: 1 } },
    increment,
  };
  it("is known by its parts, and by the side of a front tooth", () => {
    expect(kindOf({ distal: box, occlusal: top, mesial: box }, [one, mod])?.name).toBe("MOD");
    expect(kindOf({ distal: box }, [one, mod])).toBeUndefined();
    expect(kindOf({ front: { side: "mesial" } }, [front])).toBe(front);
    expect(kindOf({ front: { side: "distal" } }, [front])).toBeUndefined();
  });
  it("of another kind is filled and lit anew, each floor in each state", () => {
    const both = setKind(base, mod);
    expect(both.increment).toEqual(increment);
    expect(both.exposure.map(({ state, aim }) => `${state}: ${aim}`)).toEqual([
      "adhesive bare: mesial box floor",
      "adhesive bare: distal box floor",
      "increment 1 placed: mesial box floor",
      "increment 1 placed: distal box floor",
      "increment 2 placed: mesial box floor",
      "increment 2 placed: distal box floor",
    ]);
    expect(both.matrix?.wedge).toBe(true); // there is a distal neighbour
    expect(setKind({ ...base, tooth: { number: 36 } }, mod).matrix?.wedge).toBe(false);
  });
  it("without a box has no band, and gets one with a box", () => {
    const alone = setKind(base, one);
    expect(alone.matrix).toBeUndefined();
    expect(alone.exposure.map(({ aim }) => aim)).toEqual(["occlusal", "occlusal"]);
    expect(setKind(alone, mod).matrix).toEqual({ kind: "metal", wedge: false });
    expect(setKind(base, front).exposure.map(({ from }) => from)).toEqual(["lingual", "lingual", "lingual"]);
  });
  it("stays with another tooth that takes it, else becomes one that the tooth takes", () => {
    const there = setKind(base, mod);
    expect(setTooth(there, 46, [one, mod]).cavity).toBe(there.cavity);
    expect(setTooth(there, 11, [front]).cavity).toBe(front.cavity);
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
    expect(setTooth(universal, 46).tooth).toEqual({ number: 30, notation: "Universal", dam: true });
  });
});

describe("a case to begin with", () => {
  const choices = {
    lights: [
      {
        file: "lamp.toml",
        name: "lamp",
        tip_diameter_mm: 8,
        exitance_mw_cm2: 1000,
        modes: [{ name: "a", buttons_s: [5, 10] }],
      },
    ],
    materials: [
      { file: "bond.toml", name: "bond", class: "adhesive", shade: "" },
      { file: "paste.toml", name: "paste", class: "paste", shade: "A3" },
    ],
    barriers: ["none"],
    teeth: [
      { number: 11, name: "upper incisor", cavities: [] },
      {
        number: 36,
        name: "lower molar",
        cavities: [
          {
            name: "Class I",
            cavity: { occlusal: { floor_below_cusps_mm: 4 } },
            increment: [{ layering: "bulk" }],
          },
        ],
      },
    ],
  };
  it("is made of what the practice has, lit by the light's own button", () => {
    const begun = newCase(choices);
    expect(begun.tooth.number).toBe(36);
    expect([begun.light.file, begun.paste.material, begun.adhesive?.material]).toEqual([
      "lamp.toml",
      "paste.toml",
      "bond.toml",
    ]);
    expect(begun.exposure.map((one) => [one.state, one.aim, one.seconds])).toEqual([
      ["adhesive bare", "occlusal", 10],
      ["increment 1 placed", "occlusal", 10],
    ]);
  });
  it("needs a light", () => {
    expect(() => newCase({ ...choices, lights: [] })).toThrow("A case needs a light");
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

describe("a barrier of the practice's own", () => {
  const sleeve = { name: "Sleeve", pass: 0.9, pass_sd: 0.02, source: "measured here" };
  const bare = { light: { file: "lamp.toml", barrier: "none" } } as unknown as CaseDocument;
  it("comes with its share, how well that is known, and where it is from", () => {
    const covered = setOwnBarrier(bare, sleeve);
    expect(covered.light).toEqual({
      file: "lamp.toml",
      barrier_pass: { value: 0.9, sd: 0.02, kind: "derived", source: "Sleeve: measured here" },
    });
    expect(setOwnBarrier(bare, { ...sleeve, pass_sd: null, source: "" }).light.barrier_pass).toEqual({
      value: 0.9,
      kind: "derived",
      source: "Sleeve",
    });
    expect(setBarrier(covered, "none")).toEqual(bare);
  });
  it("is found again by its name and share", () => {
    const film = { ...sleeve, name: "Film" };
    expect(ownBarrierOf(setOwnBarrier(bare, film), [sleeve, film])).toBe(film);
    expect(ownBarrierOf(setOwnBarrier(bare, film), [{ ...film, pass: 0.8 }])).toBeUndefined();
    expect(ownBarrierOf(bare, [sleeve])).toBeUndefined();
  });
});
