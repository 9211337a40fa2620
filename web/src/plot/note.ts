// Where the words beside a dot stand.

/** On which side of the dot there is room: under a falling curve, or beside a peak. */
export type NoteSide = "under" | "right" | "left";

export interface NoteAt {
  x: number;
  y: number;
  anchor: "start" | "end";
}

/** About what a letter of a note takes, 13 px and bold. */
const letter_px = 7.8;

/**
 * Places the words of a dot at (x, y) between two edges [px]. Under a falling curve they end at the dot; where they
 * would reach over the left edge they begin at the dot and stand above the curve instead.
 */
export function noteAt(
  side: NoteSide,
  words: string,
  x: number,
  y: number,
  left: number,
  right: number,
): NoteAt {
  const long = words.length * letter_px;
  const before = x - 4 - long >= left;
  const after = x + 11 + long <= right;
  if (side === "under" && before) return { x: x - 4, y: y + 21, anchor: "end" };
  if (side === "under")
    return after ? { x: x + 4, y: y - 11, anchor: "start" } : { x: right, y: y - 11, anchor: "end" };
  const end = side === "left" ? x - 11 - long >= left : !after;
  return end ? { x: x - 11, y: y + 4, anchor: "end" } : { x: x + 11, y: y + 4, anchor: "start" };
}
