// What a light's chart shows, from the server's answer: instants in ms, everything on one scale [mW/cm2].
import { date } from "../lib/dates";
import { text, withUnit } from "../lib/numbers";
import { roundUp } from "../plot/scale";
import { alarmWords, deedWords, type FleetLight, fallsWords, perShare, pointWords, toldWords } from "./fleet";

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

/** Undefined where there is nothing to draw yet. */
export function chartOf(light: FleetLight, today: number): Chart | undefined {
  const dots = light.series.flatMap((series) =>
    series.points.map((one) => ({
      at: ms(one.at),
      y: one.mw_cm2 ?? one.shown_mw_cm2,
      counts: one.counts,
      earlier: !series.current,
      says: pointWords(one, series),
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
    now: light.today
      ? {
          y: light.today.p50,
          words: `${withUnit(light.today.p50, "mW/cm²")}, ${text(light.today.p10)} to ${text(light.today.p90)}`,
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
  const out: Chart["levels"] = [
    {
      y: light.limit_mw_cm2,
      from: first,
      to,
      words: `limit ${text(light.limit_mw_cm2)}`,
      source:
        "what the practice's policy asks of this light: its lower limit, or its share of the baseline where that is more",
      kind: "limit",
    },
  ];
  if (light.claimed_mw_cm2 !== null) {
    out.push({
      y: light.claimed_mw_cm2,
      from: first,
      to: today,
      words: `claim ${text(light.claimed_mw_cm2)}`,
      source: "radiant exitance that the maker claims",
      kind: "claim",
    });
  }
  for (const series of light.series) {
    const scale = perShare(series);
    const begins = series.points.reduce((a, one) => Math.min(a, ms(one.at)), Number.POSITIVE_INFINITY);
    if (scale === null || !Number.isFinite(begins)) continue;
    const ends = series.current ? today : series.points.reduce((a, one) => Math.max(a, ms(one.at)), begins);
    const pair = `${series.tip_name} on ${series.radiometer_name}, ${series.mode}`;
    const level = (share: number, words: string, source: string, kind: "baseline" | "control"): void => {
      out.push({ y: share * scale, from: begins, to: ends, words, source, kind });
    };
    const shown = series.baseline_mw_cm2 ?? scale;
    level(
      1,
      series.current ? `baseline ${text(shown)}` : "",
      `baseline of the ${pair}: ${withUnit(shown, "mW/cm²")} shown`,
      "baseline",
    );
    if (!series.limits) continue;
    const { lower, upper } = series.limits;
    level(
      lower,
      series.current ? "chart, lower" : "",
      `lower limit of the control chart of the ${pair}, from its own scatter`,
      "control",
    );
    level(upper, "", `upper limit of the control chart of the ${pair}, from its own scatter`, "control");
  }
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
          y: point.mw_cm2 ?? point.shown_mw_cm2,
          says: `${date(alarm.at)}: ${alarmWords(alarm)}`,
        },
      ];
    }),
  );
}

/** What the chart says, for somebody who cannot see it. */
export function chartSays(light: FleetLight): string {
  const all = light.series.flatMap((series) => series.points);
  const counted = all.filter((one) => one.counts).length;
  const today = light.today
    ? `Today about ${withUnit(light.today.p50, "mW/cm²")}, ${text(light.today.p10)} to ${text(light.today.p90)}.`
    : "What it gives today is not known.";
  const falls = fallsWords(light.falls_below);
  const alarms = light.series.reduce((sum, one) => sum + one.alarms.length, 0);
  return [
    `Output over time: ${all.length} readings, ${counted} of them count, limit ${withUnit(light.limit_mw_cm2, "mW/cm²")}.`,
    today,
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
  "mW/cm2",
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
      one.mw_cm2 ?? "",
      "",
      "",
      one.shown_mw_cm2,
      one.share ?? "",
      series.tip_name,
      series.radiometer_name,
      series.mode,
      one.counts ? "yes" : "no",
      one.why_not ?? "",
      toldWords(one),
    ]),
  );
  const empty = ["", "", "", "", "", "", "", ""];
  return [
    ...readings,
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
