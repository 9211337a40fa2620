// What goes over when restorations are decided about, and what comes back where it is refused.
import type { Doc } from "../api/documents";
import type { Wrongs } from "../lib/wrongs";
import type { What } from "./lookback";

/** One decision with its reason about each of them. */
export function decisionsOf(
  restorations: readonly number[],
  what: What,
  reason: string,
): Doc<"NewDecisions">["decisions"] {
  return restorations.map((restoration) => ({ restoration, what, reason }));
}

/** Problems of the list's fields as those of the one form that they were typed in; what all have alike is said once. */
export function wrongsOfForm(wrongs: Wrongs): Wrongs {
  const problems = wrongs.problems
    .map((one) => ({ ...one, field: one.field.replace(/^decisions\.\d+\./, "") }))
    .filter(
      (one, i, all) => all.findIndex((other) => other.field === one.field && other.what === one.what) === i,
    );
  return { sentence: wrongs.sentence, problems };
}
