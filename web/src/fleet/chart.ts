// What a light's chart shows, from the server's answer: instants in ms, everything on one scale, that of the radiometer
// which the limit is told by [mW/cm2].
import type { One } from "../api/documents";
import { date } from "../lib/dates";
import { text, whole, withUnit } from "../lib/numbers";
import { roundUp } from "../plot/scale";
import {
  alarmWords,
  asShown,
  deedWords,
  type FleetLight,
  fallsWords,
  type Point,
  pointWords,
  type Series,
  type Spread,
  toldWords,
} from "./fleet";

export interface Chart {
  from: number;
  to: number;
  today: number;
  yTo: number;
  band: { at: number; p10: number; p50: number; p90: number }[];
  dots: { at: number; y: number; counts: boolean; earlier: boolean; says: string }[];
  levels: {
    y: number;
    from: number;
    to: number;
    words: string;
    source: string;
    kind: "limit" | "baseline" | "control" | "claim";
  }[];
  events: { at: number; words: string; says: string }[];
  alarms: { at: number; y: number; says: string }[];
  now: { y: number; words: string } | undefined;
  crossing: { y: number; at: number; from: number; to: number; words: string } | undefined;
}

const ms = (instant: string): number => Date.parse(instant);
const month_ms = 30.4 * 86_400_000;

/** Where a reading is drawn: one of another series where that radiometer would have shown it. */
const drawnAt = (one: Point, series: Series): number => one.mw_cm2 * series.to_drawn;

/** What was shown is said in any case; where it is drawn, only where that is elsewhere. */
function dotSays(one: Point, series: Series, light: FleetLight): string {
  const drawn = text(drawnAt(one, series));
  const says = pointWords(one, series);
  return series.to_drawn === 1 || drawn === text(one.mw_cm2)
    ? says
    : `${says}; drawn at ${drawn}, ${asShown(light.shown_by)}`;
}

/** What its radiometer would show of it: the point of the band that is nearest to today. */
function shownToday(light: FleetLight, today: number): Spread | undefined {
  if (!light.today) return undefined;
  const off = (one: One<FleetLight["band"]>): number => Math.abs(ms(one.at) - today);
  return [...light.band].sort((a, b) => off(a) - off(b))[0];
}

/** Undefined where there is nothing to draw yet. */
export function chartOf(light: FleetLight, today: number): Chart | undefined {
  const dots = light.series.flatMap((series) =>
    series.points.map((one) => ({
      at: ms(one.at),
      y: drawnAt(one, series),
      counts: one.counts,
      earlier: !series.current,
      says: dotSays(one, series, light),
    })),
  );
  const band = light.band.map((one) => ({ at: ms(one.at), p10: one.p10, p50: one.p50, p90: one.p90 }));
  if (dots.length === 0 && band.length === 0) return undefined;
  const instants = [...dots, ...band].map((one) => one.at);
  const first = instants.reduce((a, b) => Math.min(a, b), today - month_ms);
  const to = instants.reduce((a, b) => Math.max(a, b), today + 0.5 * month_ms);
  const levels = levelsOf(light, first, to, today);
  const most = [
    ...dots.map((one) => one.y),
    ...band.map((one) => one.p90),
    ...levels.map((one) => one.y),
  ].reduce((a, b) => Math.max(a, b), 0);
  const falls = light.falls_below;
  const now = shownToday(light, today);
  const inside = (instant: string | null | undefined): number =>
    instant ? Math.min(Math.max(ms(instant), first), to) : to;
  return {
    from: first,
    to,
    today,
    yTo: roundUp(most * 1.02),
    band,
    dots,
    levels,
    events: light.events.map((one) => ({
      at: ms(one.at),
      words: deedWords(one.what),
      says: `${date(one.at)}: ${deedWords(one.what)}${one.note ? `, ${one.note}` : ""}, by ${one.name}`,
    })),
    alarms: alarmsOf(light),
    now: now
      ? {
          y: now.p50,
          words: `${withUnit(now.p50, "mW/cm²")}, ${text(now.p10)} to ${text(now.p90)}`,
        }
      : undefined,
    crossing:
      falls?.p50 && ms(falls.p50) <= to
        ? {
            y: light.limit_mw_cm2,
            at: inside(falls.p50),
            from: inside(falls.p10),
            to: inside(falls.p90),
            words: `below the limit ${fallsWords({ ...falls, p10: null })}`,
          }
        : undefined,
  };
}

function levelsOf(light: FleetLight, first: number, to: number, today: number): Chart["levels"] {
  const out: Chart["levels"] = [];
  const limit = {
    y: light.limit_mw_cm2,
    words: `limit ${whole(light.limit_mw_cm2)}`,
    source: `under it a check fails, ${asShown(light.shown_by)}: ${light.limit_why}`,
    kind: "limit" as const,
  };
  if (light.series.length === 0) out.push({ ...limit, from: first, to });
  if (light.claimed_mw_cm2 !== null) {
    const claimed = whole(light.claimed_mw_cm2);
    const here = whole(light.claimed_mw_cm2 * light.shown_per_exitance);
    out.push({
      y: light.claimed_mw_cm2 * light.shown_per_exitance,
      from: first,
      to: today,
      words: here === claimed ? `claim ${claimed}` : `claim, here ${here}`,
      source: `radiant exitance that ${light.light.claim_measured ? "a laboratory measured" : "the maker claims"}${here === claimed ? "" : `, ${claimed}, drawn ${asShown(light.shown_by)}`}`,
      kind: "claim",
    });
  }
  light.series.forEach((series, i) => {
    const { to_drawn, baseline_mw_cm2: baseline } = series;
    const begins = series.points.reduce((a, one) => Math.min(a, ms(one.at)), Number.POSITIVE_INFINITY);
    if (!Number.isFinite(begins)) return;
    const ends = series.current ? today : series.points.reduce((a, one) => Math.max(a, ms(one.at)), begins);
    const pair = `${series.tip_name} on ${series.radiometer_name}, ${series.mode}`;
    // Each has the limit of its own baseline; before the first one nothing was judged.
    const from = i === 0 ? first : begins;
    if (series.current) out.push({ ...limit, from, to });
    else {
      const shown = `${whole(series.limit_mw_cm2)} mW/cm² ${asShown(series.radiometer_name)}`;
      out.push({
        y: series.limit_mw_cm2 * to_drawn,
        from,
        to: ends,
        words: "",
        source: `limit of the ${pair}: ${shown}`,
        kind: "limit",
      });
    }
    const level = (share: number, words: string, source: string, kind: "baseline" | "control"): void => {
      out.push({ y: share * baseline * to_drawn, from: begins, to: ends, words, source, kind });
    };
    level(
      1,
      series.current ? `baseline ${whole(baseline)}` : "",
      `baseline of the ${pair}: ${whole(baseline)} mW/cm² shown`,
      "baseline",
    );
    if (!series.limits) return;
    const { lower, upper } = series.limits;
    level(
      lower,
      series.current ? "chart, lower" : "",
      `lower limit of the control chart of the ${pair}, from its own scatter`,
      "control",
    );
    level(upper, "", `upper limit of the control chart of the ${pair}, from its own scatter`, "control");
  });
  return out;
}

function alarmsOf(light: FleetLight): Chart["alarms"] {
  return light.series.flatMap((series) =>
    series.alarms.flatMap((alarm) => {
      const point = series.points.find((one) => one.reading === alarm.reading);
      if (!point) return [];
      return [
        {
          at: ms(alarm.at),
          y: drawnAt(point, series),
          says: `${date(alarm.at)}: ${alarmWords(alarm)}`,
        },
      ];
    }),
  );
}

/** What the chart says, for somebody who cannot see it. */
export function chartSays(light: FleetLight, today: number): string {
  const all = light.series.flatMap((series) => series.points);
  const counted = all.filter((one) => one.counts).length;
  const now = shownToday(light, today);
  const todayWords = now
    ? `Today about ${withUnit(now.p50, "mW/cm²")}, ${text(now.p10)} to ${text(now.p90)}.`
    : "What it gives today is not known.";
  const falls = fallsWords(light.falls_below);
  const alarms = light.series.reduce((sum, one) => sum + one.alarms.length, 0);
  return [
    `Output over time, ${asShown(light.shown_by)}: ${all.length} readings, ${counted} of them count, limit ${whole(light.limit_mw_cm2)} mW/cm².`,
    todayWords,
    falls ? `It falls below the limit ${falls}.` : "",
    alarms > 0 ? `${alarms} ${alarms === 1 ? "alarm" : "alarms"} of the chart.` : "",
  ]
    .filter((part) => part !== "")
    .join(" ");
}

/** The numbers of the chart, for a table of one's own. */
export const chartHeader = [
  "kind",
  "at",
  "as drawn [mW/cm2]",
  "low",
  "high",
  "shown [mW/cm2]",
  "share of baseline",
  "tip",
  "radiometer",
  "mode",
  "counts",
  "words",
  "told then",
] as const;

export function chartRows(light: FleetLight): (string | number)[][] {
  const readings = light.series.flatMap((series) =>
    series.points.map((one) => [
      "reading",
      one.at,
      drawnAt(one, series),
      "",
      "",
      one.shown_mw_cm2,
      one.share,
      series.tip_name,
      series.radiometer_name,
      series.mode,
      one.counts ? "yes" : "no",
      one.why_not ?? "",
      toldWords(one),
    ]),
  );
  const apart = light.apart.map((one) => [
    "reading",
    one.at,
    "",
    "",
    "",
    one.shown_mw_cm2,
    "",
    one.tip_name ?? "",
    one.radiometer_name ?? "",
    one.mode,
    "no",
    one.why_not,
    toldWords(one),
  ]);
  const empty = ["", "", "", "", "", "", "", ""];
  return [
    ...readings,
    ...apart,
    ...light.band.map((one) => ["estimate", one.at, one.p50, one.p10, one.p90, ...empty]),
    ...light.events.map((one) => [
      "event",
      one.at,
      "",
      "",
      "",
      "",
      "",
      "",
      "",
      "",
      "",
      deedWords(one.what),
      "",
    ]),
  ];
}
