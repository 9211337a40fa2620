// What was wrong with what was sent, as the fields of a form say it.

import { type Problem, Refused } from "./api";

export interface Wrongs {
  sentence: string;
  problems: readonly Problem[];
}

export const nothingWrong: Wrongs = { sentence: "", problems: [] };

/** Of anything that was thrown. What is said at fields is not said again above them. */
export function wrongsOf(error: unknown): Wrongs {
  if (error instanceof Refused && error.status === 422 && error.problems.length > 0) {
    return { sentence: "", problems: error.problems };
  }
  if (error instanceof Refused) return { sentence: error.message, problems: error.problems };
  return { sentence: error instanceof Error ? error.message : String(error), problems: [] };
}

/** The same in a line, where there is no field to say it at; each thing once. */
export function wrongWords(error: unknown): string {
  const { sentence: whole, problems } = wrongsOf(error);
  return whole || problems.map((one) => `${sentence(one.what)} ${sentence(one.remedy)}`.trim()).join(" ");
}

/** What stands at a field: what is wrong and what to do. Undefined where nothing is. */
export function wrongAt(wrongs: Wrongs, field: string): string | undefined {
  const own = wrongs.problems.filter((one) => one.field === field);
  if (own.length === 0) return undefined;
  return own.map((one) => `${sentence(one.what)} ${sentence(one.remedy)}`.trim()).join(" ");
}

/** With a capital letter and a full stop; "" stays. */
export function sentence(words: string): string {
  if (words === "") return "";
  const begun = words.charAt(0).toUpperCase() + words.slice(1);
  return /[.!?]$/.test(begun) ? begun : `${begun}.`;
}
