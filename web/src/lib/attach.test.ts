import { describe, expect, it } from "vitest";
import { fileFields, sizeWords, tooLarge } from "./attach";
import { wrongAt } from "./wrongs";

describe("a file to attach", () => {
  it("has a size in the unit that suits it", () => {
    expect([1, 182_000, 3_400_000].map(sizeWords)).toEqual(["1\u00a0kB", "182\u00a0kB", "3.4\u00a0MB"]);
  });
  it("is refused at its own field where it is too large, and taken at the limit", () => {
    expect(tooLarge({ size: 25_000_000 })).toBeUndefined();
    const wrongs = tooLarge({ size: 31_000_000 });
    expect(wrongs && fileFields.flatMap((one) => wrongAt(wrongs, one) ?? [])).toEqual([
      "This file has 31\u00a0MB; 25 MB is the most. Scan it with fewer dots per inch.",
    ]);
  });
});
