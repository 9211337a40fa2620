// Where the words of a reading's line stand: the reading above it, what it is held against below, none over another.
import { roundUp } from "../plot/scale";

export interface LineMark {
  value: number;
  words: string;
  kind: "reading" | "baseline" | "limit";
}

export interface Placed extends LineMark {
  /** Of the mark [px]. */
  x: number;
  /** Of the words' middle [px]. */
  at: number;
  /** The row of the words below the line, from 0; the reading's are above it. */
  row: number;
}

/** About what a letter takes, 13 px. */
const letter_px = 7.2;

/** The end of the line: a little beyond all that stands on it. */
export function endOf(marks: readonly LineMark[]): number {
  return roundUp(1.05 * Math.max(...marks.map((one) => one.value)));
}

/** Places marks on a line of so many pixels; words that would meet go one row down. */
export function place(marks: readonly LineMark[], width: number): Placed[] {
  const end = endOf(marks);
  const rowEnds: number[] = [];
  return [...marks]
    .sort((a, b) => a.value - b.value)
    .map((one) => {
      const x = (one.value / end) * width;
      const half = (one.words.length * letter_px) / 2;
      const at = Math.min(Math.max(x, half), width - half);
      if (one.kind === "reading") return { ...one, x, at, row: 0 };
      let row = 0;
      while ((rowEnds[row] ?? Number.NEGATIVE_INFINITY) > at - half - 6) row += 1;
      rowEnds[row] = at + half;
      return { ...one, x, at, row };
    });
}
