// What can be attached to a record, as the server has it.
import { text } from "./numbers";
import type { Wrongs } from "./wrongs";

const most_bytes = 25_000_000;
export const attachable = "application/pdf,image/png,image/jpeg";
export const attachableHint = "PDF, PNG or JPEG, 25 MB at most";

/** What the server calls what is sent of a file: its bytes, and its name. */
export const fileFields: readonly string[] = ["bytes", "x-file-name", "name"];

/** "180 kB" */
export function sizeWords(bytes: number): string {
  return bytes < 1e6
    ? `${text(Math.max(1, Math.round(bytes / 1e3)))}\u00a0kB`
    : `${text(bytes / 1e6)}\u00a0MB`;
}

/** Told before it is sent: that takes long for a file that is refused. Undefined where it is small enough. */
export function tooLarge(file: Pick<File, "size">): Wrongs | undefined {
  if (file.size <= most_bytes) return undefined;
  const what = `this file has ${sizeWords(file.size)}; 25 MB is the most`;
  return { sentence: "", problems: [{ field: "bytes", what, remedy: "Scan it with fewer dots per inch" }] };
}
