// The two pictures of a look-back: what the light gave, and each restoration by its chance.
import type { One } from "../api/documents";
import { asShown } from "../fleet/fleet";
import { date } from "../lib/dates";
import { percent, text, whole } from "../lib/numbers";
import { roundUp } from "../plot/scale";
import { chanceWords, doubtOf, type InDoubt, type LookBack, many, toothWords } from "./lookback";

const ms = (instant: string): number => Date.parse(instant);

/** From when to when both pictures go, and what bounds the time in doubt. */
export interface Time {
  from: number;
  to: number;
  /** Undefined where there was no good check. */
  good: number | undefined;
  until: number;
}

export function timeOf(one: LookBack, rows: readonly InDoubt[]): Time {
  const until = ms(one.until);
  const good = one.good_until === null ? undefined : ms(one.good_until);
  const placed = rows.map((row) => ms(row.placed_at));
  const begun = one.output.course.map((point) => ms(point.at)).concat(placed);
  const first = begun.reduce((a, b) => Math.min(a, b), good ?? until - 86_400_000);
  const last = placed.reduce((a, b) => Math.max(a, b), until);
  const edge = 0.03 * Math.max(last - first, 3_600_000);
  return { from: first - edge, to: last + edge, good, until };
}

/** What bounds the time in doubt, as lines through a picture. */
export function boundsOf(time: Time): { at: number; words: string }[] {
  const until = { at: time.until, words: "withdrawn" };
  return time.good === undefined ? [until] : [{ at: time.good, words: "last good check" }, until];
}

/** The output over that time as the radiometer of the last good check shows it, as TimePlot draws it. */
export function outputPicture(one: LookBack, time: Time) {
  const { course, readings, events, step } = one.output;
  const at = course.map((point) => ms(point.at));
  const apart = course.map((point) => Math.abs((point.step ?? 0) - (point.decline ?? 0)));
  const widest = apart.indexOf(Math.max(...apart));
  const place = course[widest];
  const courses =
    step === null || place === undefined
      ? []
      : (["step", "decline"] as const).map((kind) => {
          const other = kind === "step" ? place.decline : place.step;
          const y = place[kind] ?? 0;
          const weight = kind === "step" ? step.weight : 1 - step.weight;
          return {
            points: course.map((point, i) => ({ at: at[i] ?? 0, y: point[kind] ?? 0 })),
            words: `a ${kind}: ${percent(weight)}`,
            named: { at: at[widest] ?? 0, y, above: y >= (other ?? 0) },
          };
        });
  const most = [...course.map((point) => point.p90), ...readings.map((reading) => reading.mw_cm2)];
  return {
    from: time.from,
    to: time.to,
    yTo: roundUp(1.05 * most.reduce((a, b) => Math.max(a, b), one.limit_mw_cm2)),
    band: course.map(({ p10, p50, p90 }, i) => ({ at: at[i] ?? 0, p10, p50, p90 })),
    dots: readings.map((reading) => ({
      at: ms(reading.at),
      y: reading.mw_cm2,
      counts: reading.counts,
      earlier: false,
      says: readingSays(reading, one.shown_by),
    })),
    levels: [
      {
        y: one.limit_mw_cm2,
        from: time.from,
        to: time.to,
        words: `limit ${whole(one.limit_mw_cm2)}`,
        source: `under it a check fails, ${asShown(one.shown_by)}: ${one.limit_why}, as it stood at the last good one`,
        kind: "limit" as const,
      },
    ],
    events: events.map((event) => {
      const words = event.what.replaceAll("_", " ");
      return { at: ms(event.at), words, says: `${date(event.at, "moment")}: ${words}` };
    }),
    alarms: [],
    courses,
    bounds: boundsOf(time),
  };
}

/** What was shown, and where another radiometer's reading is drawn. */
function readingSays(reading: One<LookBack["output"]["readings"]>, by: string | null): string {
  const shown = `${date(reading.at, "moment")}: ${text(reading.shown_mw_cm2)} mW/cm² on ${reading.radiometer_name}`;
  const drawn = reading.radiometer_name === by ? "" : `; drawn at ${text(reading.mw_cm2)}, ${asShown(by)}`;
  return `${shown}${reading.counts ? "" : ", does not count"}${drawn}`;
}

/** What the light did, in a sentence or two. */
export function outputWords(one: LookBack): string {
  const { step } = one.output;
  if (step === null) {
    return "Without a good check there is nothing to smooth between: the estimate of each day stands for it.";
  }
  return `If it was a step (${percent(step.weight)}), it came between ${date(step.early)} and ${date(step.late)} (8 of 10), and is drawn on ${date(step.middle)}. If it was a gradual decline (${percent(1 - step.weight)}), it went on all that time.`;
}

/** What the picture of the output says, for somebody who cannot see it. */
export function outputSays(one: LookBack): string {
  const first = one.output.course[0];
  const last = one.output.course.at(-1);
  if (!first || !last) return "";
  const span = one.good_until
    ? `From the last good check on ${date(one.good_until)}`
    : `From ${date(first.at)}`;
  return `${span} to ${date(one.until)} the output went from about ${text(first.p50)} to ${text(last.p50)} mW/cm², ${asShown(one.shown_by)}. ${outputWords(one)}`;
}

export const outputHeader = [
  "at",
  "as shown, p10 [mW/cm2]",
  "as shown, p50 [mW/cm2]",
  "as shown, p90 [mW/cm2]",
  "if a step [mW/cm2]",
  "if a decline [mW/cm2]",
] as const;

export function outputRows(one: LookBack): (string | number)[][] {
  return one.output.course.map((point) => [
    point.at,
    point.p10,
    point.p50,
    point.p90,
    point.step ?? "",
    point.decline ?? "",
  ]);
}

export interface Mark {
  id: number;
  at: number;
  chance: number;
  recomputed: boolean;
  decided: boolean;
  says: string;
}

/** Each restoration by when it was placed and the chance that it is ranked by. */
export function marksOf(rows: readonly InDoubt[]): Mark[] {
  return rows.map((row) => {
    const { chance, recomputed } = doubtOf(row);
    const says = `${toothWords(row)}, ${date(row.placed_at)}: ${chanceWords(row)}${row.decision ? `, decided: ${row.decision.what}` : ""}`;
    return { id: row.id, at: ms(row.placed_at), chance, recomputed, decided: row.decision !== null, says };
  });
}

/** What that picture says. */
export function marksSay(one: LookBack, marks: readonly Mark[]): string {
  const worst = marks.reduce<Mark | undefined>((a, b) => (a && a.chance >= b.chance ? a : b), undefined);
  const drawn = marks.length < one.counts.all ? `, ${text(marks.length, 6)} of them drawn` : "";
  return [`${many(one.counts.all)}${drawn}.`, worst ? `The most doubtful: ${worst.says}.` : ""]
    .filter((part) => part !== "")
    .join(" ");
}

export const marksHeader = ["placed", "chance under-cured", "chance too weak", "decision"] as const;

/** The numbers of the picture, without chart numbers. */
export function marksRows(rows: readonly InDoubt[]): (string | number)[][] {
  return rows.map((row) => [
    row.placed_at,
    row.chance_under_cured ?? "",
    row.chance_too_weak,
    row.decision?.what ?? "",
  ]);
}
