import { describe, expect, it } from "vitest";
import {
  changes,
  type FieldSpec,
  followed,
  merged,
  numberOf,
  optionsOf,
  recordOf,
  shown,
  typedOf,
  typedOfAll,
  valueFrom,
} from "./form";

const name: FieldSpec = { name: "name", label: "Name", type: "text", required: true };
const claim: FieldSpec = { name: "claimed_mw_cm2", label: "Claim", type: "number", unit: "mW/cm²" };
const pass: FieldSpec = { name: "pass", label: "Lets through", type: "share", required: true };
const room: FieldSpec = {
  name: "room",
  label: "Room",
  type: "choice",
  required: true,
  options: [
    { value: 1, label: "Room 1" },
    { value: 2, label: "Room 2" },
  ],
};
const until: FieldSpec = { name: "until", label: "Until", type: "day" };
const metal: FieldSpec = { name: "metal", label: "Of metal", type: "yes" };

const violet: FieldSpec = {
  name: "violet",
  label: "Violet",
  type: "choice",
  nothing: "not known",
  options: [
    { value: true, label: "yes" },
    { value: false, label: "no" },
  ],
};

describe("a number", () => {
  it("is typed with a point or a comma", () => {
    expect(numberOf("1200")).toBe(1200);
    expect(numberOf(" 0,85 ")).toBe(0.85);
    expect(numberOf("1 200.5")).toBe(1200.5);
    expect(numberOf("\u22123")).toBe(-3);
    for (const words of ["", "x", "1.2.3", "1,200.5", "0x10", "1e5", "."]) expect(numberOf(words)).toBeNaN();
  });
});

describe("a field", () => {
  it("goes to text and back", () => {
    const cases: [FieldSpec, string | number | boolean][] = [
      [name, "Light 1"],
      [claim, 1234.5],
      [pass, 0.55],
      [pass, 0.07],
      [room, 2],
      [metal, true],
      [metal, false],
      [violet, true],
      [violet, false],
    ];
    for (const [field, value] of cases) expect(valueFrom(field, typedOf(field, value))).toBe(value);
  });
  it("shows a share in percent, without digits of chance", () => {
    expect(typedOf(pass, 0.55)).toBe("55");
    expect(typedOf(pass, 0.07)).toBe("7");
  });
  it("keeps its day whatever the clock's zone", () => {
    const at = valueFrom(until, "2027-03-28");
    expect(typedOf(until, at as string)).toBe("2027-03-28");
  });
  it("says what is wrong with it", () => {
    expect(valueFrom(name, "  ")).toEqual({ field: "name", what: "It is empty", remedy: "Fill it in" });
    expect(valueFrom(claim, "")).toBeNull();
    expect(valueFrom(claim, "much")).toMatchObject({ field: "claimed_mw_cm2", what: "“much” is no number" });
    expect(valueFrom(room, "9")).toMatchObject({ field: "room" });
    expect(valueFrom({ ...claim, type: "whole" }, "7.5")).toMatchObject({ what: "“7.5” is no whole number" });
  });
});

describe("a record", () => {
  const base = {
    name: "Light 1",
    claimed_mw_cm2: 1000,
    pass: 1 / 3,
    room: 1,
    until: "2027-01-01T00:00:00.000000Z",
    metal: false,
    accepted_at: "x",
  };
  const fields = [name, claim, pass, room, until, metal];
  it("keeps what the form does not show, and to the last digit what nobody touched", () => {
    const typed = { ...typedOfAll(fields, base), name: " Light 2 ", claimed_mw_cm2: "" };
    expect(recordOf(fields, typed, base)).toEqual({
      record: { ...base, name: "Light 2", claimed_mw_cm2: null },
      problems: [],
    });
  });
  it("tells of everything that is wrong at once", () => {
    const { problems } = recordOf(
      fields,
      { name: "", claimed_mw_cm2: "x", pass: "", room: "", until: "", metal: "" },
      {},
    );
    expect(problems.map((one) => one.field)).toEqual(["name", "claimed_mw_cm2", "pass", "room"]);
  });
});

describe("a choice that follows another", () => {
  const light: FieldSpec = {
    name: "light",
    label: "Light",
    type: "choice",
    required: true,
    options: [1, 2, 3].map((value) => ({ value, label: `Light ${value}` })),
  };
  const tip: FieldSpec = {
    name: "tip",
    label: "Tip",
    type: "choice",
    required: true,
    follows: "light",
    options: [
      { value: 11, label: "straight", of: 1 },
      { value: 12, label: "turbo", of: 1 },
      { value: 21, label: "straight", of: 2 },
    ],
  };
  it("has what belongs to that one", () => {
    expect(optionsOf(tip, { light: "1" }).map((one) => one.value)).toEqual([11, 12]);
    expect(optionsOf(tip, { light: "3" })).toEqual([]);
    expect(optionsOf(light, {})).toHaveLength(3);
  });
  it("is chosen anew where it is none of its own any more", () => {
    const fields = [light, tip];
    expect(followed(fields, { light: "2", tip: "12" }, "light")).toEqual({ light: "2", tip: "21" });
    expect(followed(fields, { light: "1", tip: "21" }, "light")).toEqual({ light: "1", tip: "" });
    expect(followed(fields, { light: "1", tip: "12" }, "light")).toEqual({ light: "1", tip: "12" });
    expect(followed(fields, { light: "1", tip: "21" }, "tip")).toEqual({ light: "1", tip: "21" });
  });
});

describe("a text that may stay empty", () => {
  it("is kept as an empty one", () => {
    expect(valueFrom({ name: "lot", label: "Lot", type: "text", blank: true }, " ")).toBe("");
  });
});

describe("somebody else's change", () => {
  const fields = [name, claim, room];
  const base = { name: "Light 1", claimed_mw_cm2: 1000, room: 1 };
  it("is taken where nothing was typed, and what was typed stays", () => {
    const typed = { name: "Light 1 b", claimed_mw_cm2: "1000", room: "1" };
    const theirs = { name: "Light one", claimed_mw_cm2: 1100, room: 1 };
    expect(merged(fields, typed, base, theirs)).toEqual({
      typed: { name: "Light 1 b", claimed_mw_cm2: "1100", room: "1" },
      meanwhile: [
        { field: "name", label: "Name", was: "Light 1", is: "Light one", both: true },
        {
          field: "claimed_mw_cm2",
          label: "Claim",
          was: "1000\u00a0mW/cm²",
          is: "1100\u00a0mW/cm²",
          both: false,
        },
      ],
    });
  });
  it("that is the same as one's own is no conflict", () => {
    const typed = { name: "Light 2", claimed_mw_cm2: "1000", room: "1" };
    expect(merged(fields, typed, base, { ...base, name: "Light 2" }).meanwhile[0]?.both).toBe(false);
  });
});

describe("what a revision changed", () => {
  it("is told in words", () => {
    const base = { name: "Light 1", claimed_mw_cm2: null, room: 1 };
    expect(changes([name, claim, room], undefined, base)).toEqual(["Name: Light 1", "Room: Room 1"]);
    expect(changes([name, claim, room], base, { ...base, claimed_mw_cm2: 1000, room: 2 })).toEqual([
      "Claim: nothing became 1000\u00a0mW/cm²",
      "Room: Room 1 became Room 2",
    ]);
    expect(shown(metal, undefined)).toBe("no");
    expect(shown(until, new Date(2028, 1, 29, 12).toISOString())).toBe("29 Feb 2028");
    expect(shown(room, 7)).toBe("number 7");
    expect(shown(violet, null)).toBe("not known");
    expect(shown(violet, false)).toBe("no");
    expect(shown({ ...violet, options: [] }, "much")).toBe("not known: “much”");
  });
});
