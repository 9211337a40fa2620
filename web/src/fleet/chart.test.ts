import { describe, expect, it } from "vitest";
import { chartHeader, chartOf, chartRows, chartSays } from "./chart";
import type { FleetLight } from "./fleet";

const today = Date.parse("2026-11-26T12:00:00Z");
const point = (reading: number, at: string, share: number, counts = true) => ({
  reading,
  revision: 1,
  at,
  arrived_at: at,
  shown_mw_cm2: 1000 * share,
  mw_cm2: 1000 * share,
  share,
  barrier_on: !counts,
  counts,
  why_not: counts ? null : "the barrier was on",
  told: null,
});
const light: FleetLight = {
  id: 3,
  revision: 1,
  light: { name: "Light 3", serial: "S3", room: 1 },
  room_name: "Room 1",
  state: "watch",
  why: "",
  sentence: "",
  today: { p10: 700, p50: 760, p90: 820 },
  limit_mw_cm2: 803.4,
  limit_why: "80 % of its baseline",
  shown_by: "Radiometer A",
  shown_per_exitance: 0.85,
  claimed_mw_cm2: 1200,
  look_back: null,
  first_share_of_claim: null,
  last_check: "2026-11-20T08:00:00Z",
  due: null,
  overdue: false,
  alarm: null,
  series: [
    {
      tip: 1,
      tip_name: "8 mm",
      radiometer: 1,
      radiometer_name: "Radiometer A",
      mode: "standard",
      baseline_mw_cm2: 1004.25,
      limit_mw_cm2: 803.4,
      current: true,
      to_drawn: 1,
      points: [
        point(1, "2026-01-05T08:00:00Z", 1),
        point(2, "2026-06-05T08:00:00Z", 0.9, false),
        point(3, "2026-11-20T08:00:00Z", 0.7),
      ],
      limits: { lower: 0.93, centre: 1, upper: 1.07 },
      alarms: [
        {
          at: "2026-11-20T08:00:00Z",
          reading: 3,
          rule: "cusum",
          sentence: "It drifts down.",
          began_at: "2026-08-01T12:00:00Z",
          stands: true,
        },
      ],
    },
  ],
  apart: [],
  band: [
    { at: "2026-11-20T08:00:00Z", p10: 720, p50: 780, p90: 840 },
    { at: "2027-05-20T08:00:00Z", p10: 350, p50: 480, p90: 640 },
  ],
  falls_below: { p10: "2027-02-15T12:00:00Z", p50: "2027-04-15T12:00:00Z", p90: null },
  battery: null,
  cleaning: null,
  radiometer_links: [],
  events: [
    {
      id: 1,
      revision: 1,
      at: "2026-03-01T12:00:00Z",
      what: "tip_replaced",
      room_name: null,
      note: null,
      name: "L. Lead",
    },
  ],
  papers: [],
  missing: [],
  tips: [],
};

describe("a light's chart", () => {
  const chart = chartOf(light, today);
  it("has every raw reading, and says why one does not count", () => {
    expect(chart?.dots.map((one) => [Math.round(one.y), one.counts])).toEqual([
      [1000, true],
      [900, false],
      [700, true],
    ]);
    expect(chart?.dots[1]?.says).toMatch(/does not count: the barrier was on/);
  });
  it("has baseline and limits where the readings stand, each with its source", () => {
    const of = (kind: string) =>
      chart?.levels.filter((one) => one.kind === kind).map((one) => Math.round(one.y));
    expect(of("limit")).toEqual([803]);
    expect(of("claim")).toEqual([1020]);
    expect(of("baseline")).toEqual([1004]);
    expect(of("control")).toEqual([934, 1075]);
    expect(chart?.levels.map((one) => one.words)).toEqual([
      "claim, here 1,020",
      "limit 803",
      "baseline 1,004",
      "chart, lower",
      "",
    ]);
    for (const one of chart?.levels ?? []) expect(one.source).not.toBe("");
  });
  it("reaches as far as the forecast, and marks where that falls below the limit", () => {
    expect(chart?.to).toBe(Date.parse("2027-05-20T08:00:00Z"));
    expect(chart?.crossing).toMatchObject({
      y: 803.4,
      at: Date.parse("2027-04-15T12:00:00Z"),
      to: chart?.to,
    });
    expect(chart?.crossing?.words).toBe("below the limit about Apr 2027");
    expect(chart?.yTo).toBeGreaterThanOrEqual(1200);
  });
  it("tells of alarms at their reading, with when the change began", () => {
    expect(chart?.alarms.map((one) => [Math.round(one.y), one.says])).toEqual([
      [700, "20 Nov 2026: It drifts down. It began about 1 Aug 2026."],
    ]);
  });
  it("is said in words, and kept as a table with every row as long as its header", () => {
    expect(chartSays(light, today)).toBe(
      "Output over time, as Radiometer A shows it: 3 readings, 2 of them count, limit 803 mW/cm². Today about 780\u00a0mW/cm², 720 to 840. It falls below the limit about Apr 2027, Feb 2027 to later. 1 alarm of the chart.",
    );
    const rows = chartRows(light);
    expect(rows.length).toBe(3 + 2 + 1);
    for (const row of rows) expect(row.length).toBe(chartHeader.length);
  });
  it("draws today where its radiometer would show it, beside readings and limit", () => {
    expect(chart?.now?.y).toBe(780);
    expect(chart?.now?.words).toBe("780\u00a0mW/cm², 720 to 840");
  });
  it("has readings of another radiometer where this one would have shown them, and says what was shown", () => {
    const [series] = light.series;
    if (!series) throw new Error("none");
    const other = {
      ...series,
      radiometer: 2,
      radiometer_name: "Radiometer B",
      baseline_mw_cm2: 1200,
      limit_mw_cm2: 960,
      current: false,
      to_drawn: 0.8,
      points: [{ ...point(7, "2025-11-05T08:00:00Z", 1), shown_mw_cm2: 1200, mw_cm2: 1200 }],
      limits: null,
      alarms: [],
    };
    const both = { ...light, series: [other, series] };
    const drawn = chartOf(both, today);
    expect(drawn?.dots[0]).toMatchObject({ y: 960, earlier: true });
    expect(drawn?.dots[0]?.says).toMatch(
      /1,200.mW\/cm² on Radiometer B.*; drawn at 960, as Radiometer A shows it$/,
    );
    expect(drawn?.dots[1]?.says).not.toMatch(/drawn/);
    // Each limit is drawn as long as it held: no reading lies above one that it was not judged by.
    const limits = drawn?.levels.filter((one) => one.kind === "limit");
    expect(limits?.map((one) => [one.y, one.words])).toEqual([
      [768, ""],
      [803.4, "limit 803"],
    ]);
    expect(limits?.[0]?.source).toMatch(/960 mW\/cm² as Radiometer B shows it/);
    expect(limits?.[1]?.from).toBe(Date.parse("2026-01-05T08:00:00Z"));
    expect(chartRows(both)[0]?.slice(0, 6)).toEqual(["reading", "2025-11-05T08:00:00Z", 960, "", "", 1200]);
  });
  it("has the limit to come where nothing was read yet", () => {
    const fresh = { ...light, series: [], shown_by: null, limit_why: "the practice's lower limit" };
    const [limit] = chartOf(fresh, today)?.levels ?? [];
    expect(limit?.source).toBe(
      "under it a check fails, as its radiometer shows it: the practice's lower limit",
    );
  });
  it("is left out where there is nothing to draw", () => {
    expect(chartOf({ ...light, series: [], band: [] }, today)).toBeUndefined();
  });
});
