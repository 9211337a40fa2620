// Lines and areas as SVG paths.
import { at, type Scale } from "./scale";

export type Point = readonly [x: number, y: number];

const short = (value: number): string => value.toFixed(1);

/** A line through the points, in the plot's pixels. */
export function line(points: readonly Point[], x: Scale, y: Scale): string {
  return points
    .map(([px, py], i) => `${i === 0 ? "M" : "L"}${short(at(x, px))} ${short(at(y, py))}`)
    .join("");
}

/** The area between a line and the plot's floor. */
export function area(points: readonly Point[], x: Scale, y: Scale): string {
  const first = points[0];
  const last = points[points.length - 1];
  if (!first || !last) return "";
  const floor = short(y.start);
  return `${line(points, x, y)}L${short(at(x, last[0]))} ${floor}L${short(at(x, first[0]))} ${floor}Z`;
}

/** The value at `x` on straight lines between the points (sorted by x); the nearest end's outside them. */
export function valueAt(points: readonly Point[], x: number): number | undefined {
  const after = points.findIndex(([px]) => px >= x);
  if (after === -1) return points[points.length - 1]?.[1];
  const b = points[after];
  const a = points[after - 1];
  if (!a || !b) return b?.[1];
  return a[1] + ((b[1] - a[1]) * (x - a[0])) / (b[0] - a[0]);
}
