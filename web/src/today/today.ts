// What the Today page is told.
import type { LightState } from "../check/check";
import { sentence as capital } from "../lib/wrongs";

export interface Due {
  light: number;
  name: string;
  room_name: string;
  /** Null for a light that was never checked. */
  due: string | null;
  overdue_days: number;
}

export interface OpenLookBack {
  id: number;
  light: number;
  name: string;
  /** Restorations in it, or whether it is open. */
  open: number | boolean;
  /** Restorations that wait for a decision. */
  undecided: number;
}

/** GET /api/today */
export interface Today {
  at: string;
  sentence: string;
  due: readonly Due[];
  wrong: readonly { light: number; name: string; room_name: string; state: LightState; sentence: string }[];
  changed: readonly { at: string; name: string; sentence: string }[];
  look_backs: readonly OpenLookBack[];
}

/** "3 days overdue", "due today". The server counts days in the site's own time. */
export function untilWords(due: Pick<Due, "due" | "overdue_days">): string {
  if (due.due === null) return "never checked";
  const days = Math.floor(due.overdue_days);
  if (days <= 0) return "due today";
  return `${days} ${days === 1 ? "day" : "days"} overdue`;
}

/** What somebody did: "took a check" -> "Ana took a check."; a whole sentence stays as it is. */
export function deedWords({ name, sentence }: { name: string; sentence: string }): string {
  return capital(/^[A-Z0-9]/.test(sentence) ? sentence : `${name} ${sentence}`);
}

export function lookBackWords(one: OpenLookBack): string {
  if (one.undecided === 0) return "all decided, to be closed";
  return `${one.undecided} ${one.undecided === 1 ? "restoration waits" : "restorations wait"} for a decision`;
}
