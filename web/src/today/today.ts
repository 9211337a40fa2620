// What the Today page is told.
import type { Doc, One } from "../api/documents";
import { date } from "../lib/dates";
import { sentence as capital } from "../lib/wrongs";

/** GET /api/today. A light that was never checked has no day on which it is due. */
export type Today = Doc<"Today">;
export type Due = One<Today["due"]>;
export type RunsOut = One<Today["runs_out"]>;
export type OpenLookBack = One<Today["look_backs"]>;

/** "3 days overdue", "due today". The server counts days in the site's own time. */
export function untilWords(due: Pick<Due, "due" | "overdue_days">): string {
  if (due.due === null) return "never checked";
  const days = Math.floor(due.overdue_days);
  if (days <= 0) return "due today";
  return `${days} ${days === 1 ? "day" : "days"} overdue`;
}

/** "ran out on 3 Nov 2026", "until 3 Dec 2026" */
export function lastDayWords(one: Pick<RunsOut, "over" | "until">): string {
  return `${one.over ? "ran out on" : "until"} ${date(one.until)}`;
}

/** "certificate of Radiometer B", "warranty of Light 2"; a lot by its own name. */
export function runsOutWords(one: Pick<RunsOut, "what" | "name">): string {
  return one.what === "lot" ? one.name : `${one.what} of ${one.name}`;
}

/** Where it is seen to. */
export function runsOutPlace(one: Pick<RunsOut, "what" | "light">): string {
  if (one.what === "lot") return "/setup/materials";
  return one.what === "warranty" ? `/lights/${one.light}` : "/setup/equipment";
}

/** What somebody did: "took a check" -> "Ana took a check."; a whole sentence stays as it is. */
export function deedWords({ name, sentence }: { name: string; sentence: string }): string {
  return capital(/^[A-Z0-9]/.test(sentence) ? sentence : `${name} ${sentence}`);
}

export function lookBackWords(one: OpenLookBack): string {
  if (one.undecided === 0) return "all decided, to be closed";
  return `${one.undecided} ${one.undecided === 1 ? "restoration waits" : "restorations wait"} for a decision`;
}
