// Instants as people read them: on this device's clock, short, with no number that could be read two ways.

const forms = {
  day: new Intl.DateTimeFormat("en-GB", { day: "numeric", month: "short", year: "numeric" }),
  moment: new Intl.DateTimeFormat("en-GB", {
    day: "numeric",
    month: "short",
    year: "numeric",
    hour: "2-digit",
    minute: "2-digit",
  }),
  clock: new Intl.DateTimeFormat("en-GB", { hour: "2-digit", minute: "2-digit" }),
  month: new Intl.DateTimeFormat("en-GB", { month: "short" }),
  monthOfYear: new Intl.DateTimeFormat("en-GB", { month: "short", year: "numeric" }),
  dayOfMonth: new Intl.DateTimeFormat("en-GB", { day: "numeric", month: "short" }),
} as const;

/** "26 Nov 2026", "26 Nov 2026, 23:40", "23:40", "Nov", "Nov 2026", "26 Nov". */
export function date(at: string | number | Date, form: keyof typeof forms = "day"): string {
  return forms[form].format(new Date(at));
}

/** Whether a day, kept as some instant in it, was over at another: what is good until a day is good all through it. */
export function isDayOver(day: string | number | Date, at: string | number | Date = Date.now()): boolean {
  const end = new Date(day);
  end.setHours(24, 0, 0, 0);
  return new Date(at).getTime() >= end.getTime();
}

/** A place on a time axis, with its words. */
export interface TimeMark {
  at: number;
  words: string;
}

const day_ms = 86_400_000;

/** Round instants between two [ms], about so many at most: days, weeks, months, quarters or years. */
export function timeMarks(from: number, to: number, most: number): TimeMark[] {
  const days = (to - from) / day_ms;
  const step = [1, 2, 7, 14].find((one) => days / one <= most);
  if (step !== undefined && days < 75) {
    const start = new Date(from);
    start.setHours(0, 0, 0, 0);
    const out: TimeMark[] = [];
    for (const at = new Date(start); at.getTime() <= to; at.setDate(at.getDate() + step)) {
      if (at.getTime() >= from) out.push({ at: at.getTime(), words: date(at, "dayOfMonth") });
    }
    return out;
  }
  const months = [1, 2, 3, 6, 12, 24, 60, 120].find((one) => days / 30.4 / one <= most + 0.5) ?? 240;
  const first = new Date(from);
  const out: TimeMark[] = [];
  const years = months >= 12;
  const start = new Date(first.getFullYear(), 0, 1);
  for (const at = start; at.getTime() <= to; at.setMonth(at.getMonth() + months)) {
    if (at.getTime() < from) continue;
    const named = years
      ? String(at.getFullYear())
      : date(at, at.getMonth() === 0 || out.length === 0 ? "monthOfYear" : "month");
    out.push({ at: at.getTime(), words: named });
  }
  return out;
}
