// A problem with what was sent, as a sentence or two for whoever sent it.
import type { Problem } from "./api";
import { sentence } from "./wrongs";

/** "this tip belongs to another light", "Choose a tip" -> "This tip belongs to another light. Choose a tip." */
export function problemWords({ what, remedy }: Pick<Problem, "what" | "remedy">): string {
  return `${sentence(what.trim())} ${sentence(remedy.trim())}`.trim();
}
