// From values to pixels and back, and where the marks of an axis stand.
import { ticks } from "d3-array";

/** A straight scale: values [from, to] on pixels [start, end]. */
export interface Scale {
  from: number;
  to: number;
  start: number;
  end: number;
}

export function at(scale: Scale, value: number): number {
  return scale.start + ((value - scale.from) / (scale.to - scale.from)) * (scale.end - scale.start);
}

/** Round values on the scale, about one every `spacing` pixels. */
export function marks(scale: Scale, spacing: number): number[] {
  const count = Math.max(2, Math.floor(Math.abs(scale.end - scale.start) / spacing));
  return ticks(scale.from, scale.to, count);
}

/** The least round value that is not below `value`, so that a plot's top has a mark. */
export function roundUp(value: number): number {
  if (!(value > 0)) return 1;
  const power = 10 ** Math.floor(Math.log10(value));
  const step = [1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10].find((one) => one * power >= value * (1 - 1e-12));
  return (step ?? 10) * power;
}
