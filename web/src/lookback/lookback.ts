// A look-back as people read it: restorations that depended on a light since its last good check.

import type { Doc } from "../api/documents";
import { rootWords } from "../audit/audit";
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
  const elsewhere = row.elsewhere.restorations;
  const more = elsewhere === 0 ? "" : `, ${text(elsewhere, 6)} more at other sites`;
  if (row.closed_at !== null) return `closed ${date(row.closed_at)}, ${many(row.restorations)}${more}`;
  const open = row.restorations - row.decided;
  if (row.restorations === 0)
    return more === "" ? "open, no restoration depends on it" : `open, no restoration here${more}`;
  return open === 0
    ? `open, all ${many(row.restorations)} decided${more}`
    : `open, ${open} of ${many(row.restorations)} to decide${more}`;
}

/** Why it cannot be closed yet; "" where it can. */
export function waitsFor(one: Pick<LookBack, "counts" | "elsewhere">): string {
  const { undecided } = one.counts;
  const there = one.elsewhere.undecided;
  const want = (count: number): string => (count === 1 ? "wants" : "want");
  if (undecided > 0) return `${undecided} of them ${want(undecided)} a decision before it is closed.`;
  if (there > 0) return `${there} made at other sites ${want(there)} a decision there before it is closed.`;
  return "";
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

/** What stands on paper of a list that is not all of it; "" where it is. */
export function paperWords(shown: number, counts: LookBack["counts"], sifted: Sifted): string {
  const listed = counts[sifted];
  const of =
    sifted === "all" ? "" : sifted === "undecided" ? " without a decision" : `, decided as ${sifted}`;
  const inAll = sifted === "all" ? "" : ` The look-back has ${many(counts.all)} in all.`;
  if (shown >= listed) return inAll === "" ? "" : `${many(listed)}${of}.${inAll}`;
  return `The first ${text(shown, 6)} of ${many(listed)}${of}: to have all of them on paper, use Print on the page itself.${inAll}`;
}

/** What stands on paper of the audit log, as at the foot of every print: a line each. */
export function logWords(log: LookBack["log"]): string[] {
  return [
    `Audit log, newest root, over ${log.size} changes: ${rootWords(log.root)}`,
    `Altered since? throughcure audit verify FILE --root "HEX" --size ${log.size} tells: FILE is the exported log, HEX the root above.`,
    `The practice's public key, for --key: ${rootWords(log.key)}`,
  ];
}
