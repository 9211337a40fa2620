// Records brought in from a table: what is asked of the program, what it understood, and how that is said.

import type { Doc, One } from "../../api/documents";
import type { Role } from "../../lib/api";
import { text } from "../../lib/numbers";

export type Kind = Preview["kind"];

/** What a file may hold; who may bring it in; what one row of it tells. */
export const kinds: readonly { value: Kind; label: string; one: string; row: string; least: Role }[] = [
  {
    value: "reading",
    label: "readings",
    one: "reading",
    row: "which light, when, and what the radiometer showed",
    least: "lead",
  },
  { value: "light", label: "lights", one: "light", row: "its name, serial number and room", least: "lead" },
  {
    value: "radiometer",
    label: "radiometers",
    one: "radiometer",
    row: "its name and serial number",
    least: "lead",
  },
  {
    value: "restoration",
    label: "restorations",
    one: "restoration",
    row: "chart number, tooth, when it was placed, and with which light",
    least: "clinician",
  },
  {
    value: "lot",
    label: "lots of materials",
    one: "lot",
    row: "the material, its lot number and when it expires",
    least: "clinician",
  },
];

/** What the program found in a file. `row` is a line of the file as a spreadsheet numbers it: the header is row 1. */
export type Preview = Doc<"ImportPreview">;
export type Column = One<Preview["columns"]>;
export type Field = One<Preview["fields"]>;
export type Question = One<Preview["questions"]>;
export type Rejected = One<Preview["rejected"]>;
export type DateOrder = NonNullable<Preview["date_order"]>;
export type DecimalMark = NonNullable<Preview["decimal_mark"]>;

/** What became of it. */
export type KeptRows = Doc<"ImportKept">;

/** How the file is to be read: what a person said. What nobody said the program finds out anew each time. */
export type Reading = Required<Doc<"ImportSettings">>;

export const asFound = (kind: Kind): Reading => ({
  kind,
  columns: {},
  constants: {},
  date_order: null,
  decimal_mark: null,
  leave_out: [],
});

/** What a field is taken from: as a person said, else as the program found. */
const columnOf = (field: Field, preview: Preview, said: Reading): number | null =>
  field.name in said.columns ? (said.columns[field.name] ?? null) : (preview.columns_of[field.name] ?? null);
export const constantOf = (field: Field, preview: Preview, said: Reading): string | null =>
  field.name in said.constants
    ? (said.constants[field.name] ?? null)
    : (preview.constants[field.name] ?? null);

/** Where a field's value comes from, as the value of its choice: "column 3", "value 12", "typed", "". */
export function sourceOf(field: Field, preview: Preview, said: Reading): string {
  const column = columnOf(field, preview, said);
  if (column !== null) return `column ${column}`;
  const constant = constantOf(field, preview, said);
  if (constant === null) return "";
  if (field.choices === null) return "typed";
  const choice = field.choices.find((one) => one.value === constant || one.name === constant);
  return choice ? `value ${choice.value}` : "";
}

/** The same reading with another source of one field; `typed` is the text of "typed". */
export function withSource(said: Reading, field: string, source: string, typed = ""): Reading {
  const column = /^column (\d+)$/.exec(source)?.[1];
  const value = source.startsWith("value ") ? source.slice(6) : source === "typed" ? typed : null;
  return {
    ...said,
    columns: { ...said.columns, [field]: column === undefined ? null : Number(column) },
    constants: { ...said.constants, [field]: column === undefined ? value : null },
  };
}

/** The same reading with the answer to a question. */
export function withAnswer(said: Reading, question: Question, value: string): Reading {
  switch (question.asks) {
    case "date_order":
      return { ...said, date_order: value as DateOrder };
    case "decimal_mark":
      return { ...said, decimal_mark: value as DecimalMark };
    case "column":
      return question.field === null ? said : withSource(said, question.field, `column ${value}`);
    case "constant":
      return question.field === null ? said : withSource(said, question.field, `value ${value}`);
  }
}

/** The required fields that nothing tells yet. */
export function lacking(preview: Preview): Field[] {
  return preview.fields.filter(
    (field) => field.required && sourceOf(field, preview, asFound(preview.kind)) === "",
  );
}

/** Rejected rows in the order of the file, each with all that is wrong with it. */
export function byRow(rejected: readonly Rejected[]): { row: number; wrongs: Rejected[] }[] {
  const rows = new Map<number, Rejected[]>();
  for (const one of rejected) rows.set(one.row, [...(rows.get(one.row) ?? []), one]);
  return [...rows].map(([row, wrongs]) => ({ row, wrongs })).sort((a, b) => a.row - b.row);
}

/** "1 row", "1,204 rows". */
export const rowsWords = (count: number): string => `${text(count, 9)} ${count === 1 ? "row" : "rows"}`;

const is = (count: number): string => (count === 1 ? "is" : "are");

/** What was found, in a sentence. */
export function previewSentence(preview: Preview): string {
  const { accepted, already, left_out, rejected_rows, questions } = preview;
  if (preview.rows === 0) return `${preview.file_name} holds no row below its header.`;
  if (questions.length > 0) {
    return `${rowsWords(preview.rows)} of ${preview.file_name}: ${questions.length === 1 ? "one question" : `${questions.length} questions`} first.`;
  }
  const parts = [
    `${rowsWords(accepted)} of ${preview.file_name} ${is(accepted)} understood`,
    already > 0 ? `${text(already, 9)} ${is(already)} on record already` : "",
    rejected_rows > 0 ? `${text(rejected_rows, 9)} cannot be read` : "",
    left_out > 0 ? `${text(left_out, 9)} ${is(left_out)} left out` : "",
  ].filter((part) => part !== "");
  const last = parts.length > 1 ? ` and ${parts.pop()}` : "";
  return `${parts.join(", ")}${last}.`;
}

/** Why it cannot be kept yet; "" where it can. */
export function whyNotKept(preview: Preview): string {
  const { questions, rejected_rows, accepted } = preview;
  if (questions.length > 0) return `Answer the ${questions.length === 1 ? "question" : "questions"} first.`;
  if (rejected_rows > 0) {
    return rejected_rows === 1
      ? "One row cannot be read: mend it in the file, or leave it out."
      : `${rowsWords(rejected_rows)} cannot be read: mend them in the file, or leave them out.`;
  }
  return accepted === 0 ? "There is no new row to keep." : "";
}

/** What became of it, in a sentence. */
export function keptSentence(kept: KeptRows): string {
  const noun = kinds.find((one) => one.value === kept.kind);
  const many = (count: number): string =>
    `${text(count, 9)} ${count === 1 ? noun?.one : noun?.label} ${is(count)}`;
  const parts = [
    `${many(kept.added)} kept`,
    kept.already > 0
      ? `${text(kept.already, 9)} ${kept.already === 1 ? "was" : "were"} on record already`
      : "",
    kept.left_out > 0 ? `${rowsWords(kept.left_out)} ${kept.left_out === 1 ? "was" : "were"} left out` : "",
  ].filter((part) => part !== "");
  return `${parts.join("; ")}.`;
}

/** Units as people write them: "mW/cm²". */
export const unitWords = (words: string): string => words.replace("cm2", "cm²");

/** A column as it is chosen: its name, and what stands in it. */
export function columnWords(column: Column, index: number): string {
  const name = column.name.trim() === "" ? `column ${index + 1}, without a name` : column.name;
  const samples = column.samples.filter((one) => one.trim() !== "").slice(0, 2);
  return samples.length === 0 ? `${name} (empty)` : `${name} (${samples.join("; ")})`;
}
