// The audit log as people read it.

import type { Doc, One } from "../api/documents";
import { date } from "../lib/dates";

/** A page of the log. A field whose text is null is private. */
export type AuditAnswer = Doc<"AuditLog">;
export type AuditChange = One<AuditAnswer["changes"]>;
export type AuditField = One<AuditChange["before"]>;

const kinds: Readonly<Record<string, string>> = {
  lookback: "look-back",
  setting: "limit or interval",
  disc: "reading through a disc",
  scrape: "scrape test",
  attachment: "attached file",
};

/** "room 3". */
export const whatOf = (change: AuditChange): string =>
  `${kinds[change.kind] ?? change.kind} ${change.record}`;

/** A field's name as words: "check_every_days" is "check every days". */
export const fieldWords = (field: string): string =>
  field.replace(/_mw_cm2$/, " [mW/cm²]").replaceAll("_", " ");

/** Kept in the log as 1 and 0. */
const yesNo = new Set(["active", "everywhere", "mould_of_metal", "barrier_on", "tip_clean", "tip_whole"]);
for (const field of ["barrier_smooth", "vents_clear", "disinfected"]) yesNo.add(field);

/** Instants are kept in the log in microseconds. */
function valueWords(field: string, text: string | null): string {
  if (text === null) return "private";
  if (text === "") return "nothing";
  if (yesNo.has(field)) return text === "1" ? "yes" : "no";
  if (/(^|_)(at|until)$/.test(field) && /^\d{14,17}$/.test(text)) return date(Number(text) / 1000, "moment");
  return text;
}

/** What changed, a line a field: "name: Room 1 became Room 2". */
export function changeWords(change: AuditChange): string[] {
  const fields = [...new Set([...change.before, ...change.after].map((one) => one.field))];
  return fields.map((field) => {
    const was = change.before.find((one) => one.field === field);
    const is = change.after.find((one) => one.field === field);
    const name = fieldWords(field);
    if (!was && is) return `${name}: ${valueWords(field, is.text)}`;
    if (was && !is) return `${name}: ${valueWords(field, was.text)} was taken away`;
    if (was?.text === null && is?.text === null) return `${name}: private, changed`;
    return `${name}: ${valueWords(field, was?.text ?? "")} became ${valueWords(field, is?.text ?? "")}`;
  });
}

/** A root in groups that can be compared with paper. */
export const rootWords = (root: string): string => root.replace(/(.{8})(?=.)/g, "$1 ");

/** What stands on paper of a log that is not all on the page; "" where it is. */
export function paperWords(shown: number, size: number): string {
  if (shown >= size) return "";
  return `The newest ${shown} of ${size} changes: “Export the log” on the page itself has all.`;
}
