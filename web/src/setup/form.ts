// A record as a form: a list of fields says what is typed, in what unit, and how it becomes the record again.

import type { Problem } from "../lib/api";
import { date } from "../lib/dates";

export type Value = string | number | boolean | null;
export type Fields = Record<string, Value>;

/** One that a choice has; `of`: only where this is chosen in the field that is followed. */
export interface Option {
  value: string | number | boolean;
  label: string;
  of?: string | number;
}

/** A field of a form. */
export interface FieldSpec {
  /** As the record has it. */
  name: string;
  label: string;
  /** `share` is typed in percent; `day` and `moment` are instants of this device's clock. */
  type: "text" | "long" | "number" | "whole" | "share" | "day" | "moment" | "yes" | "choice";
  unit?: string;
  /** Of a text that is digits: what a phone shows to type it with. */
  keys?: "numeric";
  /** What makes it good, said before it is typed. */
  hint?: string;
  required?: boolean;
  /** Of a text: left empty it is kept so, not as nothing. */
  blank?: boolean;
  /** Of a choice: what is kept, and its words. */
  options?: readonly Option[];
  /** Of a choice: the words for nothing, and before what is on record and none of the list: "not known". */
  nothing?: string;
  /** Of a choice: the field whose choice narrows it to the options that are of that one. */
  follows?: string;
  /** Of a text: what is offered. */
  offered?: readonly string[];
}

/** What stands in the fields while it is typed. */
export type Typed = Record<string, string>;

const two = (number: number): string => String(number).padStart(2, "0");
const dayOf = (at: Date): string => `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}`;

/** Not more digits than anybody typed: a share of 0.55 is 55 %, not 55.00000000000001. */
const plain = (number: number): string => String(Number(number.toPrecision(12)));

/** A value as it stands in its field. */
export function typedOf(field: FieldSpec, value: Value | undefined): string {
  if (value === undefined || value === null) return "";
  switch (field.type) {
    case "share":
      return plain(100 * Number(value));
    case "number":
      return plain(Number(value));
    case "day":
      return dayOf(new Date(String(value)));
    case "moment": {
      const at = new Date(String(value));
      return `${dayOf(at)}T${two(at.getHours())}:${two(at.getMinutes())}`;
    }
    case "yes":
      return value === true ? "yes" : "";
    default:
      return String(value);
  }
}

export function typedOfAll(fields: readonly FieldSpec[], record: Fields): Typed {
  return Object.fromEntries(fields.map((field) => [field.name, typedOf(field, record[field.name])]));
}

/** The number that was typed, with a point or a comma; NaN for none. */
export function numberOf(words: string): number {
  const plain = words
    .trim()
    .replace(/[\u00a0\u202f ]/g, "")
    .replace("\u2212", "-");
  return /^-?(\d+([.,]\d*)?|[.,]\d+)$/.test(plain) ? Number(plain.replace(",", ".")) : Number.NaN;
}

/** The value of what was typed; a problem where it has none. */
export function valueFrom(field: FieldSpec, typed: string): Value | Problem {
  const words = typed.trim();
  if (field.type === "yes") return typed === "yes";
  if (words === "") {
    if (!field.required) return field.blank ? "" : null;
    return {
      field: field.name,
      what: "It is empty",
      remedy: field.type === "choice" ? "Choose one" : "Fill it in",
    };
  }
  switch (field.type) {
    case "number":
    case "share": {
      const number = numberOf(words);
      if (Number.isNaN(number))
        return {
          field: field.name,
          what: `“${words}” is no number`,
          remedy: "Type digits, with a point or a comma",
        };
      return field.type === "share" ? Number((number / 100).toPrecision(12)) : number;
    }
    case "whole": {
      const number = numberOf(words);
      if (!Number.isInteger(number))
        return { field: field.name, what: `“${words}” is no whole number`, remedy: "Type digits only" };
      return number;
    }
    case "day":
    case "moment": {
      const at = new Date(field.type === "day" ? `${words}T12:00` : words);
      if (Number.isNaN(at.getTime()))
        return { field: field.name, what: `“${words}” is no day`, remedy: "Choose one in the calendar" };
      return at.toISOString();
    }
    case "choice": {
      const option = field.options?.find((one) => String(one.value) === words);
      return option
        ? option.value
        : { field: field.name, what: "It is not on the list", remedy: "Choose one" };
    }
    default:
      return words;
  }
}

/** What a choice has to choose from, by what is typed in the field that it follows. */
export function optionsOf(field: FieldSpec, typed: Typed): readonly Option[] {
  const options = field.options ?? [];
  if (field.follows === undefined) return options;
  const of = typed[field.follows] ?? "";
  return options.filter((one) => String(one.of) === of);
}

/** The same as typed, after a field was changed: what follows it is chosen anew where it is none of its own any more. */
export function followed(fields: readonly FieldSpec[], typed: Typed, changed: string): Typed {
  const out: Typed = { ...typed };
  for (const field of fields.filter((one) => one.follows === changed)) {
    const options = optionsOf(field, out);
    if (options.some((one) => String(one.value) === out[field.name])) continue;
    out[field.name] = options.length === 1 ? String(options[0]?.value) : "";
  }
  return out;
}

const isProblem = (value: Value | Problem): value is Problem => typeof value === "object" && value !== null;

/**
 * The record as typed, over what it was: fields that the form does not show stay, and so does, to the last digit, what
 * nobody touched.
 */
export function recordOf(
  fields: readonly FieldSpec[],
  typed: Typed,
  base: Fields,
): { record: Fields; problems: Problem[] } {
  const record: Fields = { ...base };
  const problems: Problem[] = [];
  for (const field of fields) {
    const now = typed[field.name] ?? "";
    if (base[field.name] !== undefined && now === typedOf(field, base[field.name])) {
      if (field.required && now.trim() === "" && field.type !== "yes") {
        const value = valueFrom(field, now);
        if (isProblem(value)) problems.push(value);
      }
      continue;
    }
    const value = valueFrom(field, now);
    if (isProblem(value)) problems.push(value);
    else record[field.name] = value;
  }
  return { record, problems };
}

/** A field that somebody else changed meanwhile. */
export interface Meanwhile {
  field: string;
  label: string;
  was: string;
  is: string;
  /** It was typed into here as well: both cannot stay. */
  both: boolean;
}

/** What was typed over a record that somebody else has changed: theirs where nothing was typed, else what was typed. */
export function merged(
  fields: readonly FieldSpec[],
  typed: Typed,
  base: Fields,
  theirs: Fields,
): { typed: Typed; meanwhile: Meanwhile[] } {
  const out: Typed = { ...typed };
  const meanwhile: Meanwhile[] = [];
  for (const field of fields) {
    const was = typedOf(field, base[field.name]);
    const is = typedOf(field, theirs[field.name]);
    if (was === is) continue;
    const mine = typed[field.name] ?? "";
    const both = mine !== was && mine !== is;
    if (!both) out[field.name] = is;
    meanwhile.push({
      field: field.name,
      label: field.label,
      was: shown(field, base[field.name]),
      is: shown(field, theirs[field.name]),
      both,
    });
  }
  return { typed: out, meanwhile };
}

/** What is on record and none of a list, in its own words: "not known: “400 to 500 nm”". */
export const otherWords = (nothing: string, value: string): string => `${nothing}: “${value}”`;

/** A value as people read it; "nothing" for none. */
export function shown(field: FieldSpec, value: Value | undefined): string {
  if (field.type === "yes") return value === true ? "yes" : "no";
  if (value === undefined || value === null || value === "") return field.nothing ?? "nothing";
  if (field.type === "choice") {
    const chosen = field.options?.find((one) => one.value === value)?.label;
    return chosen ?? (field.nothing ? otherWords(field.nothing, String(value)) : `number ${String(value)}`);
  }
  if (field.type === "day") return date(String(value));
  if (field.type === "moment") return date(String(value), "moment");
  const unit = field.type === "share" ? "%" : (field.unit ?? "");
  const words = typedOf(field, value);
  return unit === "" ? words : `${words}\u00a0${unit}`;
}

/** What one revision changed, in words; of the first, what it began with. */
export function changes(fields: readonly FieldSpec[], before: Fields | undefined, after: Fields): string[] {
  return fields.flatMap((field) => {
    const is = shown(field, after[field.name]);
    if (!before) return is === "nothing" ? [] : [`${field.label}: ${is}`];
    const was = shown(field, before[field.name]);
    return was === is ? [] : [`${field.label}: ${was} became ${is}`];
  });
}
