import { describe, expect, it } from "vitest";
import {
  asFound,
  byRow,
  columnWords,
  type Field,
  keptSentence,
  lacking,
  type Preview,
  previewSentence,
  type Question,
  sourceOf,
  whyNotKept,
  withAnswer,
  withSource,
} from "./imports";

const light: Field = {
  name: "light",
  label: "Light",
  what: "",
  required: true,
  unit: null,
  for_all_only: false,
  choices: [{ value: "7", name: "Lamp 7" }],
};
const mode: Field = {
  name: "mode",
  label: "Mode",
  what: "",
  required: false,
  unit: null,
  for_all_only: false,
  choices: null,
};
const found: Preview = {
  id: "d",
  kind: "reading",
  file_name: "a.csv",
  encoding: "UTF-8",
  delimiter: ";",
  rows: 5,
  columns: [{ name: "Lamp", samples: ["a", "b", "c"], looks_like: "text" }],
  fields: [light, mode],
  columns_of: { light: 0, mode: null },
  constants: { light: null, mode: null },
  date_order: "dmy",
  decimal_mark: ",",
  questions: [],
  accepted: 3,
  already: 1,
  left_out: 0,
  rejected: [],
  rejected_rows: 0,
  understood: [],
};

describe("where a field's value comes from", () => {
  it("is a column, one value, or nothing, and each takes the place of the other", () => {
    let said = asFound("reading");
    expect(sourceOf(light, found, said)).toBe("column 0");
    said = withSource(said, "light", "value 7");
    expect([said.columns.light, said.constants.light]).toEqual([null, "7"]);
    expect(sourceOf(light, found, said)).toBe("value 7");
    expect(sourceOf(light, found, { ...said, constants: { light: "Lamp 7" } })).toBe("value 7");
    said = withSource(said, "mode", "typed", "turbo");
    expect(sourceOf(mode, found, said)).toBe("typed");
    said = withSource(said, "mode", "");
    expect([said.columns.mode, said.constants.mode]).toEqual([null, null]);
    expect(sourceOf(mode, found, said)).toBe("");
  });
  it("is left to the program where nobody said anything", () => {
    const said = withSource(asFound("reading"), "mode", "column 0");
    expect(Object.keys(said.columns)).toEqual(["mode"]);
    expect(Object.keys(said.constants)).toEqual(["mode"]);
  });
  it("is lacking where nothing tells what must be there", () => {
    expect(lacking(found)).toEqual([]);
    expect(lacking({ ...found, columns_of: {} }).map((one) => one.name)).toEqual(["light"]);
  });
});

describe("an answer", () => {
  it("goes where the question says", () => {
    const said = asFound("reading");
    const ask = (asks: Question["asks"], field: string | null): Question => ({
      asks,
      field,
      sentence: "?",
      choices: [],
    });
    expect(withAnswer(said, ask("date_order", "taken_at"), "mdy").date_order).toBe("mdy");
    expect(withAnswer(said, ask("decimal_mark", "shown_mw_cm2"), ",").decimal_mark).toBe(",");
    expect(withAnswer(said, ask("constant", "light"), "8")).toMatchObject({
      columns: { light: null },
      constants: { light: "8" },
    });
    expect(withAnswer(said, ask("column", "light"), "2")).toMatchObject({
      columns: { light: 2 },
      constants: { light: null },
    });
  });
});

describe("what is said", () => {
  it("of what was found", () => {
    expect(previewSentence(found)).toBe("3 rows of a.csv are understood and 1 is on record already.");
    expect(previewSentence({ ...found, already: 0, accepted: 1 })).toBe("1 row of a.csv is understood.");
    expect(previewSentence({ ...found, rejected_rows: 2, left_out: 1 })).toBe(
      "3 rows of a.csv are understood, 1 is on record already, 2 cannot be read and 1 is left out.",
    );
    expect(previewSentence({ ...found, rows: 0 })).toBe("a.csv holds no row below its header.");
  });
  it("of why it cannot be kept", () => {
    expect(whyNotKept(found)).toBe("");
    expect(whyNotKept({ ...found, rejected_rows: 1 })).toMatch(/^One row cannot be read/);
    expect(whyNotKept({ ...found, accepted: 0 })).toBe("There is no new row to keep.");
    expect(
      whyNotKept({ ...found, questions: [{ asks: "constant", field: null, sentence: "?", choices: [] }] }),
    ).toBe("Answer the question first.");
  });
  it("of what was kept", () => {
    expect(keptSentence({ kind: "light", added: 1, already: 0, left_out: 0, look_at: [] })).toBe(
      "1 light is kept.",
    );
    expect(keptSentence({ kind: "lot", added: 3, already: 0, left_out: 0, look_at: [] })).toBe(
      "3 lots of materials are kept.",
    );
    expect(keptSentence({ kind: "reading", added: 1204, already: 2, left_out: 1, look_at: [] })).toBe(
      "1,204 readings are kept; 2 were on record already; 1 row was left out.",
    );
  });
  it("of a column, and of a row with all its faults", () => {
    expect(columnWords({ name: "Lamp", samples: ["a", "b", "c"], looks_like: "text" }, 0)).toBe(
      "Lamp (a; b)",
    );
    expect(columnWords({ name: " ", samples: [], looks_like: "empty" }, 2)).toBe(
      "column 3, without a name (empty)",
    );
    const wrong = (row: number, what: string) => ({ row, field: null, text: "", what, remedy: "" });
    expect(byRow([wrong(4, "b"), wrong(3, "a"), wrong(4, "c")]).map((one) => one.wrongs.length)).toEqual([
      1, 2,
    ]);
  });
});
