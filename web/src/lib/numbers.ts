// Numbers as people read them: value, unit, interval.

/** A value with the interval it lies in, in the unit of its name. Without an interval, the ends are missing. */
export interface Uncertain {
  value: number;
  low?: number;
  high?: number;
}

/** Rounds to so many significant digits and groups thousands: 1234.5 -> "1,230". */
export function text(value: number, digits = 3): string {
  if (!Number.isFinite(value)) return "not known";
  return formatOf(digits).format(value).replace("-", "\u2212");
}

/** In whole numbers, as limits and baselines are told wherever they stand: 1043.4 -> "1,043". */
export const whole = (value: number): string => text(Math.round(value), 6);

/** A format takes longer to make than hundreds of numbers to write, so each is made once. */
const formats = new Map<number, Intl.NumberFormat>();
function formatOf(digits: number): Intl.NumberFormat {
  const format = formats.get(digits) ?? new Intl.NumberFormat("en-GB", { maximumSignificantDigits: digits });
  formats.set(digits, format);
  return format;
}

/** A share [0..1] in whole percent; below one percent but not nothing it says so. */
export function percent(share: number): string {
  if (share > 0 && share < 0.005) return "under 1\u00a0%";
  return `${Math.round(share * 100)}\u00a0%`;
}

/** "900 to 1,100", or nothing where the value has no interval. */
export function interval(quantity: Uncertain, digits = 3): string {
  if (quantity.low === undefined || quantity.high === undefined) return "";
  return `${text(quantity.low, digits)} to ${text(quantity.high, digits)}`;
}

/** A number with its unit, kept together on a line. */
export function withUnit(value: number, unit: string, digits = 3): string {
  return unit === "" ? text(value, digits) : `${text(value, digits)}\u00a0${unit}`;
}

/** Two shares as one interval: "38 to 44 %", or one number where both ends read the same. */
export function percents(low: number, high: number): string {
  const [from, to] = [percent(low), percent(high)];
  return from === to ? to : `${from.replace(/\s%$/, "")} to ${to}`;
}
