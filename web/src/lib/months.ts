// Months as what is printed names them: "2026-11", by this device's calendar.
import { date } from "./dates";

export interface Month {
  /** As the server wants it: "2026-11". */
  value: string;
  /** As people read it: "Nov 2026". */
  words: string;
}

/** The month of a day and those before it, the newest first. */
export function lastMonths(now: Date, count: number): Month[] {
  return Array.from({ length: count }, (_, back) => {
    const first = new Date(now.getFullYear(), now.getMonth() - back, 1);
    const month = String(first.getMonth() + 1).padStart(2, "0");
    return { value: `${first.getFullYear()}-${month}`, words: date(first, "monthOfYear") };
  });
}
