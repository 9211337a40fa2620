// What the server says of a case: the verdict, why, and the meshes of the tooth.

import { percent, percents } from "../lib/numbers";
import type { Picture } from "../picture/picture";
import type { CaseDocument } from "./case";
import type { SectionMap, Vec } from "./pose";

export type Cut = "mesiodistal" | "buccolingual";
export type VerdictWord = "through-cured" | "uncertain" | "under-cured";

/** Over the draws: 8 of 10 lie between p10 and p90. */
export interface Spread {
  p10: number;
  p50: number;
  p90: number;
}

/** One place that must cure, 24 h after the last exposure. */
export interface Cell {
  name: string;
  kind: string;
  /** The increment that holds it, counted from 1. */
  increment: number;
  /** Whether the verdict hangs on it; the one near the top is only shown. */
  decides: boolean;
  conversion: Spread;
  share_of_reference: Spread;
  hardness_ratio: Spread;
  probability: number;
  relative_se: number;
  light_j_cm2: number;
  at_mm: Vec;
}

/** Where a tip is held, in the order of the exposures. */
export interface Tip {
  exposure: number;
  centre_mm: Vec;
  /** Leaves the light. */
  axis: Vec;
  radius_mm: number;
  /** At which its radiance is half. */
  half_angle_deg: number;
  /** Along the axis from its face to where it is aimed. */
  distance_to_floor_mm: number;
}

/** POST /api/plan/verdict */
export interface Verdict {
  sentence: string;
  verdict: VerdictWord;
  probability: number;
  probability_se: number;
  draws: number;
  worst: string;
  cells: Cell[];
  /** What a place must reach, against the reference. */
  target: { hardness_ratio: { value: number } };
  picture: Picture;
  /** The same on paper, where `picture` is dark and the answer a full one. */
  paper_picture?: Picture;
  tips: Tip[];
  states: string[];
  aims: { name: string; at_mm: Vec }[];
  section: SectionMap;
  cautions: Caution[];
}

/** What to mind, and where: as an exposure is chosen, or as a plan is taken over. */
export interface Caution {
  act: "light" | "plan";
  sentence: string;
}

/** POST /api/plan/why */
export interface Why {
  /** The worst place, which it is about. */
  place: string;
  order: string[];
  causes: Cause[];
  /** The product of the shares. */
  total_kept: number;
  /** Those that cure through first, by the seconds that they cost; then the others by their probability. */
  mends: Mend[];
}

/** What one cause lets through of the light at the worst place, removed after all before it have been. */
export interface Cause {
  cause: string;
  label: string;
  /** Above 1 where it helps. */
  share_kept: number;
  /** That the place cures, this cause and all before it removed. */
  probability_without: number;
}

/** A change that was worked out before it is proposed. */
export interface Mend {
  label: string;
  sentence: string;
  probability: number;
  probability_se: number;
  verdict: VerdictWord;
  extra_seconds: number;
  document: CaseDocument;
}

/** "12 %" and "10 to 14 %": the chance that all places cure through, and the 95 % interval of its own error. */
export function chance(probability: number, se: number): { value: string; interval: string } {
  const interval = percents(Math.max(0, probability - 1.96 * se), Math.min(1, probability + 1.96 * se));
  const value = percent(probability);
  return { value, interval: interval === value ? "" : interval };
}

/** What is left of the light after each cause in turn, from all of it. */
export function leftAfter(causes: readonly Cause[]): number[] {
  let left = 1;
  return causes.map((one) => {
    left *= one.share_kept;
    return left;
  });
}
