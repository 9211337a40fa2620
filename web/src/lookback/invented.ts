// A look-back for the tests, small enough to work out by hand.
import type { InDoubt, LookBack, Row } from "./lookback";

export const row: Row = {
  id: 7,
  light: 3,
  name: "Light 3",
  because: "failed_check",
  note: null,
  good_until: "2026-11-01T08:00:00.000000Z",
  until: "2026-11-20T08:00:00.000000Z",
  opened_at: "2026-11-20T08:00:00.000000Z",
  closed_at: null,
  merged_into: null,
  restorations: 12,
  decided: 5,
};
export const doubt = (
  id: number,
  day: number,
  chance: number | null,
  more: Partial<InDoubt> = {},
): InDoubt => ({
  id,
  revision: 1,
  chart: `C-${id}`,
  tooth: "36",
  surfaces: "DO",
  placed_at: `2026-11-${String(day).padStart(2, "0")}T10:00:00.000000Z`,
  placed_by_name: "D. Clinician",
  material: "Paste",
  lot: "L-1",
  probability_then: 0.97,
  chance_under_cured: chance,
  chance_too_weak: 0.4,
  has_case: chance !== null,
  why_not: null,
  output: { p10: 600 - 10 * day, p50: 700 - 10 * day, p90: 800 - 10 * day },
  decision: null,
  ...more,
});
export const page: LookBack = {
  ...row,
  revision: 1,
  sentence: "Two restorations were cured with Light 3 since its last good check.",
  state: "done",
  share_done: 1,
  need_mw_cm2: 500,
  output: {
    course: Array.from({ length: 20 }, (_, i) => ({
      at: `2026-11-${String(i + 1).padStart(2, "0")}T08:00:00.000000Z`,
      p10: 650 - 15 * i,
      p50: 700 - 15 * i,
      p90: 750 - 15 * i,
      step: i < 12 ? 700 : 415,
      decline: 700 - 15 * i,
    })),
    step: {
      weight: 0.62,
      early: "2026-11-05T08:00:00.000000Z",
      middle: "2026-11-13T08:00:00.000000Z",
      late: "2026-11-18T08:00:00.000000Z",
    },
    readings: [
      { at: "2026-11-01T08:00:00.000000Z", mw_cm2: 820, counts: true },
      { at: "2026-11-20T08:00:00.000000Z", mw_cm2: 430, counts: true },
    ],
    events: [{ at: "2026-11-07T08:00:00.000000Z", what: "tip_replaced" }],
  },
  counts: { all: 2, undecided: 2, recall: 0, watch: 0, none: 0 },
  restorations: [doubt(2, 18, 0.72), doubt(1, 4, null)],
  after: null,
};
