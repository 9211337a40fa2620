// A look-back as people read it: restorations that depended on a light since its last good check.

import type { Doc } from "../api/documents";
import { date } from "../lib/dates";
import { percent, text } from "../lib/numbers";

/** A row of the list. */
export type Row = Doc<"LookBackHead">;
export type LookBack = Doc<"LookBackPage">;
/**
 * A restoration in doubt. `chance_under_cured` is recomputed with the output of that day: null while it is not, and
 * where it cannot be, as `why_not` says; `chance_too_weak` is that of the light giving less than it needed that day.
 */
export type InDoubt = Doc<"InDoubt">;
export type Decision = NonNullable<InDoubt["decision"]>;
export type What = Decision["what"];

export const decisions: readonly { value: What; label: string; means: string }[] = [
  { value: "recall", label: "recall", means: "the patient is called in" },
  { value: "watch", label: "watch", means: "it is looked at when the patient comes next" },
  { value: "none", label: "none", means: "nothing is to be done" },
];

/** Which of them are listed. */
export type Sifted = "all" | "undecided" | What;

/** What the list may be narrowed to, each with how many there are; none where there is nothing to choose between. */
export function siftings(one: LookBack): { value: Sifted; label: string; off: boolean }[] {
  const named = {
    all: "all",
    undecided: "to decide",
    recall: "recall",
    watch: "watch",
    none: "none",
  } as const;
  return (Object.keys(named) as Sifted[]).map((value) => ({
    value,
    label: `${named[value]} ${text(one.counts[value], 6)}`,
    off: one.counts[value] === 0,
  }));
}

/** Why it was opened: "a check failed and failed again". */
export const becauseWords = (because: Row["because"]): string =>
  because === "failed_check" ? "a check failed, and failed again" : "the light was withdrawn";

/** What stands beside a look-back in the list. */
export function rowWords(row: Row): string {
  if (row.merged_into !== null) return `merged into look-back ${row.merged_into}`;
  if (row.closed_at !== null) return `closed ${date(row.closed_at)}, ${many(row.restorations)}`;
  const open = row.restorations - row.decided;
  if (row.restorations === 0) return "open, no restoration depends on it";
  return open === 0
    ? `open, all ${many(row.restorations)} decided`
    : `open, ${open} of ${many(row.restorations)} to decide`;
}

export const many = (count: number): string =>
  `${text(count, 6)} ${count === 1 ? "restoration" : "restorations"}`;

/** The list in a sentence. */
export function listSentence(rows: readonly Row[]): string {
  const open = rows.filter((row) => row.closed_at === null && row.merged_into === null);
  if (rows.length === 0) return "No light has failed: there is no look-back.";
  if (open.length === 0) return "No look-back is open.";
  const wait = open.reduce((sum, row) => sum + row.restorations - row.decided, 0);
  const begin = open.length === 1 ? "One look-back is open" : `${open.length} look-backs are open`;
  return wait === 0 ? `${begin}; every restoration in it is decided.` : `${begin}: ${many(wait)} to decide.`;
}

/** "36 DO", as it stands in the chart. */
export const toothWords = (one: InDoubt): string =>
  [one.tooth, one.surfaces].filter((part) => part !== "").join(" ");

/** The chance by which it is ranked, and what it is the chance of. */
export function doubtOf(one: InDoubt): { chance: number; recomputed: boolean } {
  if (one.chance_under_cured !== null) return { chance: one.chance_under_cured, recomputed: true };
  return { chance: one.chance_too_weak, recomputed: false };
}

/** "about 72 % under-cured"; where it was not recomputed, what is known instead. */
export function chanceWords(one: InDoubt): string {
  const { chance, recomputed } = doubtOf(one);
  return recomputed ? `${percent(chance)} under-cured` : `${percent(chance)} that the light was too weak`;
}

/** Why there is no chance that it was under-cured. */
export function whyNot(one: InDoubt): string {
  if (one.chance_under_cured !== null) return "";
  if (one.why_not) return one.why_not;
  return !one.has_case ? "What was done was not kept, so it cannot be recomputed." : "";
}
