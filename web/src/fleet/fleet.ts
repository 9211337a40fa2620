// The practice's lights as the server tells of them, and what their pictures are drawn from.
import type { Doc, One } from "../api/documents";
import type { LightState } from "../check/check";
import type { Role } from "../lib/api";
import { date, isDayOver } from "../lib/dates";
import { percent, text, withUnit } from "../lib/numbers";

/** A row of GET /api/fleet. */
export type FleetRow = One<Doc<"Fleet">["lights"]>;
/** Where a value lies with 8 chances in 10, and its middle; `today` is radiant exitance. */
export type Spread = NonNullable<FleetRow["today"]>;
/** The same of an instant; an end may be later than was looked for. */
export type SpreadOfTime = NonNullable<FleetRow["falls_below"]>;

/** GET /api/fleet/{id} */
export type FleetLight = Doc<"FleetLight">;
/** Readings that may be compared: one tip, one radiometer, one mode. Its limits are shares of the baseline. */
export type Series = One<FleetLight["series"]>;
export type Point = One<Series["points"]>;
/** What a control chart raised; one that was answered does not stand any more, and is on the picture only. */
export type Alarm = One<Series["alarms"]>;
export type Event = One<FleetLight["events"]>;
/** How much more one radiometer shows than another, with one tip in one mode. */
export type RadiometerLink = One<FleetLight["radiometer_links"]>;
export type Paper = One<FleetLight["papers"]>;

const order: Record<LightState, number> = { watch: 0, "in use": 1, "not accepted": 2, withdrawn: 3 };

/** What needs somebody first: to watch, then overdue, then the others by room and name. */
export function worstFirst(rows: readonly FleetRow[]): FleetRow[] {
  const rank = (one: FleetRow): number => (one.overdue && one.state === "in use" ? 0.5 : order[one.state]);
  return [...rows].sort(
    (a, b) => rank(a) - rank(b) || a.room_name.localeCompare(b.room_name) || a.name.localeCompare(b.name),
  );
}

const many = (count: number): string => `${count} ${count === 1 ? "light" : "lights"}`;

/** "12 lights: 9 in use, 2 to watch, 1 withdrawn; 3 are overdue." */
export function fleetSentence(rows: readonly FleetRow[]): string {
  if (rows.length === 0) return "No light is on record yet";
  const said: [LightState, string][] = [
    ["in use", "in use"],
    ["watch", "to watch"],
    ["not accepted", "not accepted"],
    ["withdrawn", "withdrawn"],
  ];
  const parts = said.flatMap(([state, words]) => {
    const count = rows.filter((one) => one.state === state).length;
    return count === 0 ? [] : [`${count} ${words}`];
  });
  const overdue = rows.filter((one) => one.overdue).length;
  const due = overdue === 0 ? "" : `; ${overdue} ${overdue === 1 ? "check is" : "checks are"} overdue`;
  return `${many(rows.length)}: ${parts.join(", ")}${due}`;
}

/** When it falls below the limit, in a few words; "" where that is not foreseen. */
export function fallsWords(falls: SpreadOfTime | null): string {
  if (!falls?.p50) return "";
  const from = falls.p10 ? date(falls.p10, "monthOfYear") : "";
  const to = falls.p90 ? date(falls.p90, "monthOfYear") : "later";
  const span = from && from !== to ? `, ${from} to ${to}` : "";
  return `about ${date(falls.p50, "monthOfYear")}${span}`;
}

/** "940 mW/cm²" and its interval. */
export function todayWords(today: Spread | null): { value: string; interval: string } {
  if (!today) return { value: "not known yet", interval: "" };
  return {
    value: withUnit(today.p50, "mW/cm²"),
    interval: `${text(today.p10)} to ${text(today.p90)}`,
  };
}

/** A reading as it stands in the list: one that belongs to no series has no share of a baseline. */
export interface Reading
  extends Pick<Point, "reading" | "revision" | "at" | "arrived_at" | "shown_mw_cm2" | "told" | "why_not"> {
  share: number | null;
  counts: boolean;
  /** "8 mm tip, Radiometer A, barrier on" */
  with: string;
}

/** Every reading of a light, the newest first. */
export function readingsOf(light: Pick<FleetLight, "series" | "apart">): Reading[] {
  const tools = (tip: string | null, radiometer: string | null, barrier_on: boolean): string =>
    `${tip ?? "a tip of another light"}, ${radiometer ?? "an unknown radiometer"}${barrier_on ? ", barrier on" : ""}`;
  const compared = light.series.flatMap((series) =>
    series.points.map((one) => ({
      ...one,
      with: tools(series.tip_name, series.radiometer_name, one.barrier_on),
    })),
  );
  const apart = light.apart.map((one) => ({
    ...one,
    share: null,
    counts: false,
    with: tools(one.tip_name, one.radiometer_name, one.barrier_on),
  }));
  return [...compared, ...apart].sort((a, b) => (a.at < b.at ? 1 : -1));
}

/** "as Radiometer A shows it"; of a light that was never read: "as its radiometer shows it". */
export const asShown = (radiometer: string | null): string => `as ${radiometer ?? "its radiometer"} shows it`;

/** How one reading is told. */
export function pointWords(one: Point, series: Series): string {
  const share = `, ${percent(one.share)} of its baseline`;
  const barrier = one.barrier_on ? ", barrier on" : "";
  const counts = one.counts ? "" : `; does not count: ${whyNot(one)}`;
  return `${date(one.at, "moment")}: ${withUnit(one.shown_mw_cm2, "mW/cm²", 5)} on ${series.radiometer_name}, ${series.tip_name}${share}${barrier}${counts}`;
}

/** An alarm with when its change began, unless its own words say so. */
export function alarmWords({ sentence, began_at }: Alarm): string {
  return !/ since /.test(sentence) ? `${sentence} It began about ${date(began_at)}.` : sentence;
}

/** The charts by the rules that they raise an alarm by; what is none of them is told as the server has it. */
const charts: Readonly<Record<string, string>> = {
  beyond_limits: "single values",
  two_beyond_two_sigma: "runs of values",
  four_beyond_one_sigma: "runs of values",
  ten_on_one_side: "runs of values",
  moving_range: "moving range",
  ewma: "EWMA",
  cusum_high: "CUSUM",
  cusum_low: "CUSUM",
};

/** "EWMA and CUSUM": the charts that say the same as this alarm, and stand. */
export function raisedBy(light: Pick<FleetLight, "series">, alarm: Alarm): string {
  const same = light.series
    .filter((one) => one.current)
    .flatMap((one) => one.alarms.filter((other) => other.stands && other.sentence === alarm.sentence));
  const rules = new Set([alarm, ...same].map((one) => one.rule));
  const said = Object.entries(charts).flatMap(([rule, words]) => (rules.has(rule) ? [words] : []));
  const others = [...rules].filter((rule) => !(rule in charts)).map((rule) => rule.replaceAll("_", " "));
  const all = [...new Set([...said, ...others])];
  const last = all.pop() ?? "";
  return all.length === 0 ? last : `${all.join(", ")} and ${last}`;
}

/** The alarms that still hold, of the series that is read now, the newest first; what two rules say alike is said once. */
export function standing(light: Pick<FleetLight, "series">): Alarm[] {
  return light.series
    .filter((one) => one.current)
    .flatMap((one) => one.alarms.filter((alarm) => alarm.stands))
    .sort((a, b) => (a.at < b.at ? 1 : -1))
    .filter((one, i, all) => all.findIndex((other) => other.sentence === one.sentence) === i);
}

/** Why a reading does not count, within a sentence. */
export function whyNot(one: Pick<Point, "why_not">): string {
  const why = one.why_not ?? "no reason given";
  return `${why.charAt(0).toLowerCase()}${why.slice(1)}`.replace(/\.$/, "");
}

/** Less than that after it was taken, a check was sent at once [ms]. */
const at_once_ms = 5 * 60_000;

/** "arrived 12 May 2026, 17:20", of one that came later than it was taken; "" of one that was sent at once. */
export function arrivedWords({ at, arrived_at }: Pick<Point, "at" | "arrived_at">): string {
  const late = Math.abs(Date.parse(arrived_at) - Date.parse(at)) > at_once_ms;
  return late ? `arrived ${date(arrived_at, "moment")}` : "";
}

/** What was told of a reading when it was taken in, whatever holds now. */
export function toldWords({ told }: Pick<Point, "told">): string {
  if (!told) return "not on record";
  const words = {
    good: "good",
    first: "first of a baseline",
    low: "low",
    high: "high",
    again: "to be taken again",
    failed: "failed",
    noted: "does not count",
  } as const;
  return `${words[told.verdict]}${told.share === null ? "" : `, ${percent(told.share)}`}`;
}

/** "Radiometer B shows 0.94 of what Radiometer A shows, 0.91 to 0.97, from 5 pairs."; with what, where that differs. */
export function linkWords(link: RadiometerLink, all: readonly RadiometerLink[] = [link]): string {
  const two = (value: number): string => value.toFixed(2);
  const shows = `${two(link.ratio)} ${link.ratio < 1 ? "of" : "times"} what ${link.from_name} shows`;
  const pairs = `${link.pairs} ${link.pairs === 1 ? "pair" : "pairs"}`;
  const alike = all.every((one) => one.tip_name === link.tip_name && one.mode === link.mode);
  const by = alike ? "" : `, with the ${link.tip_name}, ${link.mode}`;
  return `${link.to_name} shows ${shows}, ${two(link.low)} to ${two(link.high)}, from ${pairs}${by}.`;
}

/** What may be done with a light, by what it is and who asks. */
export type Act = "check" | "accept" | "refuse" | "withdraw" | "return" | "note";

export function actsOf(state: LightState, role: Role): Act[] {
  if (role === "viewer") return [];
  const acts: Act[] = ["check"];
  if (state === "not accepted" && role === "lead") acts.push("accept", "refuse");
  if ((state === "in use" || state === "watch") && role !== "assistant") acts.push("withdraw");
  if (state === "withdrawn" && role === "lead") acts.push("return");
  acts.push("note");
  return acts;
}

/** What was done to a light, or happened to it: the words of the records and ours. */
export const deeds = [
  { value: "cleaned", label: "cleaned" },
  { value: "tip_replaced", label: "tip replaced" },
  { value: "battery_replaced", label: "battery replaced" },
  { value: "repaired", label: "repaired" },
  { value: "dropped", label: "dropped" },
  { value: "lent", label: "lent" },
  { value: "returned", label: "came back" },
  { value: "other", label: "something else" },
] as const;

export function deedWords(what: string): string {
  return deeds.find((one) => one.value === what)?.label ?? what;
}

/** Whether it is about where the light went, so that a room belongs to it. */
export const lends = (what: string): boolean => what === "lent" || what === "returned";

/** "lent to Room 2, for the week" */
export function eventWords(event: Pick<Event, "what" | "room_name" | "note">): string {
  const room = event.room_name ? ` ${event.what === "lent" ? "to" : "from"} ${event.room_name}` : "";
  return `${deedWords(event.what)}${room}${event.note ? `, ${event.note}` : ""}`;
}

/** What a light's papers say, beside the papers themselves. */
export function paperFacts(
  light: FleetLight["light"],
  now: number = Date.now(),
): (readonly [string, string])[] {
  const { approval_number, approved_by, bought_in, warranty_until, battery, emits_violet } = light;
  const approval = [approval_number ?? "no number on record", ...(approved_by ? [approved_by] : [])].join(
    ", ",
  );
  const warranty = warranty_until
    ? `${isDayOver(warranty_until, now) ? "ran out on" : "until"} ${date(warranty_until)}`
    : "no end on record";
  return [
    ["National approval", approval],
    ["Bought in", bought_in ?? "not on record"],
    ["Warranty", warranty],
    ["Battery", battery ?? "none on record: on a cord"],
    [
      "Emits",
      emits_violet
        ? "violet and blue"
        : emits_violet === false
          ? "blue alone"
          : "whether violet too is not known",
    ],
  ];
}

/** What papers are about. */
export const abouts = [
  { value: "approval", label: "national approval" },
  { value: "instructions", label: "instructions for use" },
  { value: "certificate", label: "calibration certificate" },
  { value: "receipt", label: "receipt or warranty" },
  { value: "picture", label: "picture" },
  { value: "other", label: "other" },
] as const;
