// What is said of the checks that a device keeps, in a sentence for any page.

import type { Kept } from "../lib/queue";
import type { CheckAnswer, CheckBody } from "./check";

const many = (count: number): string => `${count} ${count === 1 ? "check" : "checks"}`;

/** "" where there is nothing to say. */
export function noticeOf(all: readonly Kept<CheckBody, CheckAnswer>[]): string {
  const refused = all.filter((one) => one.refused).length;
  const answered = all.filter((one) => one.answer !== undefined).length;
  const open = all.length - refused - answered;
  const parts = [
    refused > 0 ? `${many(refused)} ${refused === 1 ? "was" : "were"} not taken` : "",
    open > 0 ? `${many(open)} ${open === 1 ? "waits" : "wait"} to be sent` : "",
    answered > 0 ? `${many(answered)} went in, not seen yet` : "",
  ].filter((part) => part !== "");
  return parts.join("; ");
}
