// A problem with what was sent, as a sentence or two for whoever sent it.
import type { Problem } from "./api";

/** "this tip belongs to another light", "Choose a tip" -> "This tip belongs to another light. Choose a tip." */
export function problemWords({ what, remedy }: Pick<Problem, "what" | "remedy">): string {
  return [what, remedy]
    .map(sentence)
    .filter((one) => one !== "")
    .join(" ");
}

function sentence(words: string): string {
  const plain = words.trim();
  if (plain === "") return "";
  return `${plain.charAt(0).toUpperCase()}${plain.slice(1)}${/[.!?]$/.test(plain) ? "" : "."}`;
}
