// How a tip is held, in the tooth's axes and on the drawing; and what a drag on the drawing means for it.
import type { Exposure, Side } from "./case";
import { clamp, limits, tenths, tiltSides } from "./exposures";

export type Vec = readonly [number, number, number];
/** A place on the drawing [mm]: x to the right, y down. */
export type Place = readonly [number, number];

/** Where the drawing lies in the scene, as the server says it. */
export interface SectionMap {
  corner_mm: Vec;
  right: Vec;
  down: Vec;
  picture_origin_mm: Place;
  picture_mm_per_mm: number;
}

/** x from mesial to distal, y from buccal to lingual, z from the cusps to the root. */
const outward: Record<Side, Vec> = {
  mesial: [-1, 0, 0],
  distal: [1, 0, 0],
  buccal: [0, -1, 0],
  lingual: [0, 1, 0],
  occlusal: [0, 0, -1],
};

const radians = (deg: number): number => (deg * Math.PI) / 180;
const dot = (a: Vec, b: Vec): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const minus = (a: Vec, b: Vec): Vec => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];

/** From the aim to the tip: where its body stands. The light leaves the other way. */
export function bodyOf(exposure: Pick<Exposure, "from" | "tilt_deg" | "tilt_to">): Vec {
  const up = outward[exposure.from];
  const to = outward[exposure.tilt_to ?? "distal"];
  const tilt = radians(exposure.tilt_deg ?? 0);
  const [c, s] = [Math.cos(tilt), Math.sin(tilt)];
  return [up[0] * c + to[0] * s, up[1] * c + to[1] * s, up[2] * c + to[2] * s];
}

/** A point of the scene on the drawing; what lies before or behind the cut is seen square on. */
export function toPicture(map: SectionMap, point: Vec): Place {
  const from = minus(point, map.corner_mm);
  const s = map.picture_mm_per_mm;
  return [
    map.picture_origin_mm[0] + s * dot(from, map.right),
    map.picture_origin_mm[1] + s * dot(from, map.down),
  ];
}

/** A direction of the scene on the drawing, in scene mm: shorter where it leaves the cut. */
export function seen(map: SectionMap, direction: Vec): Place {
  return [dot(direction, map.right), dot(direction, map.down)];
}

/** What of a pose a cut lets one take hold of. Directions are those of the drawing, in scene mm. */
export interface Hold {
  /** From the aim to the tip; shorter than 1 where the tip leans out of the cut. */
  body: Place;
  /** Where the body would stand without a tilt, and the direction at its right hand. */
  up: Place;
  right: Place;
  /** Whether the way along the axis is seen, and not from its end. */
  along: boolean;
  /** The sides that the tip can be tilted to in this cut; none where the tilt is not seen. */
  turn?: { left: Side | undefined; right: Side | undefined };
  /** The tilt, counted to the right hand [deg]; 0 where it is not seen. */
  tilt_deg: number;
}

/** How an exposure is seen in a cut. */
export function holdOf(exposure: Exposure, map: SectionMap): Hold {
  const body = seen(map, bodyOf(exposure));
  const up = seen(map, outward[exposure.from]);
  const right: Place = [-up[1], up[0]];
  const bare = { body, up, right, along: Math.hypot(...body) > 0.3, tilt_deg: 0 };
  if (Math.hypot(...up) < 0.9) return bare;
  const sideTowards = (to: Place): Side | undefined =>
    tiltSides(exposure.from).find((side) => on(seen(map, outward[side]), to) > 0.9);
  const turn = { left: sideTowards([-right[0], -right[1]]), right: sideTowards(right) };
  const tilt = exposure.tilt_deg ?? 0;
  if (tilt === 0) return { ...bare, turn };
  if (exposure.tilt_to === turn.right) return { ...bare, turn, tilt_deg: tilt };
  return exposure.tilt_to === turn.left ? { ...bare, turn, tilt_deg: -tilt } : bare;
}

/** A tilt counted to the right hand, as a document says it. Upright where the tooth allows no tilt to that side. */
export function tiltOf(
  turn: NonNullable<Hold["turn"]>,
  signed_deg: number,
): { tilt_deg: number; tilt_to: Side } | undefined {
  const side = signed_deg < 0 ? turn.left : turn.right;
  const other = turn.left ?? turn.right;
  if (side) return { tilt_deg: Math.round(clamp(Math.abs(signed_deg), 0, limits.tilt_deg)), tilt_to: side };
  return other ? { tilt_deg: 0, tilt_to: other } : undefined;
}

/** A tip that is being dragged: the drawing it was taken hold of on, and the pose it had there. */
export interface Grip {
  exposure: Exposure;
  map: SectionMap;
  /** On the drawing [mm]. */
  aim: Place;
  centre: Place;
  /** From the aim to the tip's face where it would touch [mm]. */
  contact_mm: number;
}

/** Takes hold of a tip as the server placed it. */
export function gripOf(exposure: Exposure, map: SectionMap, aim_mm: Vec, centre_mm: Vec): Grip {
  return {
    exposure,
    map,
    aim: toPicture(map, aim_mm),
    centre: toPicture(map, centre_mm),
    contact_mm: Math.hypot(...minus(aim_mm, centre_mm)) - exposure.standoff_mm,
  };
}

/** Which ways a drag has taken so far: a finger does not go straight, so the smaller of two ways counts late. */
export interface Loose {
  along: boolean;
  turn: boolean;
}

/** Ways that a drag of so many pixels has taken, with those it had taken before. */
export function loosened(by_px: Place, body: Place, before: Loose): Loose {
  const length = Math.hypot(...body) || 1;
  const radial = Math.abs(on(by_px, body) / length);
  const sideways = Math.abs((by_px[0] * body[1] - by_px[1] * body[0]) / length);
  const taken = (mine: number, other: number): boolean => (mine > 6 && mine > 0.6 * other) || mine > 28;
  return {
    along: before.along || taken(radial, sideways),
    turn: before.turn || taken(sideways, radial),
  };
}

/** The pose of a tip whose face was dragged by so much on the drawing [mm]. */
export function draggedTip(grip: Grip, by: Place, loose: Loose): Partial<Exposure> {
  const hold = holdOf(grip.exposure, grip.map);
  const s = grip.map.picture_mm_per_mm;
  const v: Place = [(grip.centre[0] + by[0] - grip.aim[0]) / s, (grip.centre[1] + by[1] - grip.aim[1]) / s];
  const length = Math.hypot(...hold.body);
  const turning = loose.turn && hold.turn !== undefined;
  const out = turning ? Math.hypot(...v) : on(v, hold.body) / (length * length);
  const keys: Partial<Exposure> = {};
  if (loose.along && hold.along)
    keys.standoff_mm = tenths(clamp(out - grip.contact_mm, 0, limits.standoff_mm));
  if (turning && hold.turn)
    Object.assign(keys, tiltOf(hold.turn, degrees(Math.atan2(on(v, hold.right), on(v, hold.up)))));
  return keys;
}

/** The pose of a tip that was turned about its aim, from one place under the finger to another. */
export function turnedTip(grip: Grip, from: Place, to: Place): Partial<Exposure> {
  const hold = holdOf(grip.exposure, grip.map);
  if (!hold.turn) return {};
  const angle = (place: Place): number => {
    const v: Place = [place[0] - grip.aim[0], place[1] - grip.aim[1]];
    return degrees(Math.atan2(on(v, hold.right), on(v, hold.up)));
  };
  return tiltOf(hold.turn, hold.tilt_deg + angle(to) - angle(from)) ?? {};
}

/** Where a tip's face stands on the drawing in another pose, as long as it would touch at the same distance. */
export function centreIn(grip: Grip, pose: Exposure): Place {
  const body = seen(grip.map, bodyOf(pose));
  const out = (grip.contact_mm + pose.standoff_mm) * grip.map.picture_mm_per_mm;
  return [grip.aim[0] + out * body[0], grip.aim[1] + out * body[1]];
}

/** The cut in which a pose is seen best: that of its tilt, else that of the side it comes from. */
export function cutOf(exposure: Exposure): "mesiodistal" | "buccolingual" {
  if (exposure.from !== "occlusal") return "buccolingual";
  const tilted = (exposure.tilt_deg ?? 0) > 0;
  return tilted && (exposure.tilt_to === "buccal" || exposure.tilt_to === "lingual")
    ? "buccolingual"
    : "mesiodistal";
}

function on(a: Place, b: Place): number {
  return a[0] * b[0] + a[1] * b[1];
}

function degrees(rad: number): number {
  return (rad * 180) / Math.PI;
}
