// Where the handles of a tip stand on the drawing: behind its face, apart, and inside the frame.
import type { Hold, Place } from "./pose";

/** A handle's half width, the way from the tip's face to its handle, and the way between the two [px]. */
const half_px = 28;
const behind_px = 58;
const apart_px = 58;

/** The handle of the tip, and that of its tilt where there is one; places on the drawing [mm]. */
export function handles(
  hold: Hold,
  aim: Place,
  centre: Place,
  size: Place,
  px_per_mm: number,
  /** The corner of the cut on the drawing: beside it is a margin, above it the heading [mm]. */
  corner: Place = [0, 0],
): { tip?: Place; turn?: Place } {
  if (!hold.along) return {};
  const mm = (px: number): number => px / px_per_mm;
  const length = Math.hypot(...hold.body) || 1;
  const body: Place = [hold.body[0] / length, hold.body[1] / length];
  const inside = ([x, y]: Place): Place => [
    Math.min(size[0] - corner[0] - mm(half_px), Math.max(corner[0] + mm(half_px), x)),
    Math.min(size[1] - mm(half_px), Math.max(corner[1] + mm(half_px), y)),
  ];
  const tip = inside([centre[0] + mm(behind_px) * body[0], centre[1] + mm(behind_px) * body[1]]);
  if (!hold.turn) return { tip };
  // On the arc about the aim, on the side where the tip would stand more upright: that is the way it is mostly turned.
  const hand = hold.tilt_deg > 0 || (hold.tilt_deg === 0 && !hold.turn.right) ? -1 : 1;
  const from: Place = [tip[0] - aim[0], tip[1] - aim[1]];
  const angle = (hand * mm(apart_px)) / Math.max(mm(apart_px), Math.hypot(...from));
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  const gap = (place: Place): number => Math.hypot(place[0] - tip[0], place[1] - tip[1]);
  const onArc = inside([aim[0] + c * from[0] - s * from[1], aim[1] + s * from[0] + c * from[1]]);
  if (gap(onArc) >= mm(0.9 * apart_px)) return { tip, turn: onArc };
  // Pressed against the frame: to whichever side there is room, square to the axis first.
  const square: Place = [-hand * body[1] * mm(apart_px), hand * body[0] * mm(apart_px)];
  const around = [
    square,
    [-square[0], -square[1]] as const,
    [0, -mm(apart_px)] as const,
    [0, mm(apart_px)] as const,
  ];
  const places = around.map((by) => inside([tip[0] + by[0], tip[1] + by[1]]));
  return { tip, turn: places.reduce((best, one) => (gap(one) > gap(best) + mm(1) ? one : best), onArc) };
}
