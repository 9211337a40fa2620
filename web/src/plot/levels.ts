// Where the words of level lines stand: each at its line, none over another.

export interface Level {
  y: number;
  words: string;
}

/**
 * Moves words [px, middle of the line] apart until each has `gap` to the next, as little as can be, inside [top, bottom].
 * In the order they came in.
 */
export function apart(at: readonly number[], gap: number, top: number, bottom: number): number[] {
  const sorted = at.map((y, i) => ({ i, y })).sort((a, b) => a.y - b.y);
  const placed = sorted.map((one) => ({ ...one }));
  placed.forEach((one, k) => {
    const before = placed[k - 1];
    one.y = Math.max(one.y, before ? before.y + gap : top);
  });
  for (let k = placed.length - 1; k >= 0; k -= 1) {
    const one = placed[k];
    const after = placed[k + 1];
    if (one) one.y = Math.min(one.y, after ? after.y - gap : bottom);
  }
  const out = new Array<number>(at.length);
  for (const one of placed) out[one.i] = one.y;
  return out;
}
