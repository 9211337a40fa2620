// Edits of a schedule. Each gives a new document and leaves the old one as it was.
import type { CaseDocument, Exposure, Side } from "./case";

/** A schedule after an edit, and which of its exposures is in hand. */
export interface Edited {
  document: CaseDocument;
  picked: number;
}

/** The limits that the page keeps to; the server knows its own. */
export const limits = { standoff_mm: 15, tilt_deg: 80, seconds: 180, pause_s: 300 };

/** Changes some keys of one exposure. */
export function change(document: CaseDocument, index: number, keys: Partial<Exposure>): CaseDocument {
  return {
    ...document,
    exposure: document.exposure.map((one, i) => (i === index ? { ...one, ...keys } : one)),
  };
}

/** Holds the light in another way: in one exposure, or in all that come from the same side. */
export function hold(
  document: CaseDocument,
  index: number,
  keys: Partial<Exposure>,
  alike: boolean,
): CaseDocument {
  if (!alike) return change(document, index, keys);
  const from = document.exposure[index]?.from;
  return {
    ...document,
    exposure: document.exposure.map((one) => (one.from === from ? { ...one, ...keys } : one)),
  };
}

/** A gap within the limits, in tenths of a millimetre. */
export function standoff(mm: number): Partial<Exposure> {
  return { standoff_mm: tenths(clamp(mm, 0, limits.standoff_mm)) };
}

/** A tilt to that side; it keeps its side at 0, so that the next step goes the same way. */
export function tilt(deg: number, to: Side): Partial<Exposure> {
  return { tilt_deg: Math.round(clamp(deg, 0, limits.tilt_deg)), tilt_to: to };
}

/** The tip comes from another side: upright, and with a tilt that is possible from there. */
export function setFrom(document: CaseDocument, index: number, from: Side): CaseDocument {
  const to = document.exposure[index]?.tilt_to;
  const sides = tiltSides(from);
  const kept = to && sides.includes(to) ? to : (sides[0] ?? "distal");
  return change(document, index, { from, tilt_deg: 0, tilt_to: kept });
}

/** The sides that a tip from there can be tilted to: those square to it. */
export function tiltSides(from: Side): Side[] {
  return from === "occlusal" ? ["mesial", "distal", "buccal", "lingual"] : ["occlusal", "mesial", "distal"];
}

/** Puts an exposure into a state; the schedule stays in the order of the states. */
export function setState(
  document: CaseDocument,
  index: number,
  state: string,
  states: readonly string[],
): Edited {
  const changed = change(document, index, { state });
  const order = changed.exposure
    .map((exposure, i) => ({ exposure, i }))
    .sort((a, b) => states.indexOf(a.exposure.state) - states.indexOf(b.exposure.state) || a.i - b.i);
  return {
    document: { ...document, exposure: order.map((one) => one.exposure) },
    picked: order.findIndex((one) => one.i === index),
  };
}

/** Adds an exposure after the last one of its state or an earlier one. */
export function add(document: CaseDocument, exposure: Exposure, states: readonly string[]): Edited {
  const state = states.indexOf(exposure.state);
  const after = document.exposure.filter((one) => states.indexOf(one.state) <= state).length;
  return {
    document: { ...document, exposure: spliced(document.exposure, after, 0, exposure) },
    picked: after,
  };
}

/** The same press once more, right after it. */
export function repeat(document: CaseDocument, index: number): Edited {
  const exposure = document.exposure[index];
  if (!exposure) return { document, picked: index };
  return {
    document: { ...document, exposure: spliced(document.exposure, index + 1, 0, { ...exposure }) },
    picked: index + 1,
  };
}

/** Takes an exposure away; the last one stays, for a schedule has one at least. */
export function removeAt(document: CaseDocument, index: number): Edited {
  if (document.exposure.length < 2) return { document, picked: index };
  const exposure = spliced(document.exposure, index, 1);
  return { document: { ...document, exposure }, picked: Math.min(index, exposure.length - 1) };
}

/**
 * One step earlier (-1) or later (1). Past a neighbour of its own state it changes places with it; at the border of
 * its state it stays where it is and goes over into the next state that there is.
 */
export function move(document: CaseDocument, index: number, by: -1 | 1, states: readonly string[]): Edited {
  const one = document.exposure[index];
  if (!one) return { document, picked: index };
  const neighbour = document.exposure[index + by];
  if (neighbour && neighbour.state === one.state) {
    const exposure = spliced(spliced(document.exposure, index, 1), index + by, 0, one);
    return { document: { ...document, exposure }, picked: index + by };
  }
  const state = states[states.indexOf(one.state) + by];
  return state === undefined
    ? { document, picked: index }
    : { document: change(document, index, { state }), picked: index };
}

/** Whether `move` would change anything. */
export function canMove(
  document: CaseDocument,
  index: number,
  by: -1 | 1,
  states: readonly string[],
): boolean {
  return move(document, index, by, states).document !== document;
}

/** An exposure from the cheek or the tongue after all is placed and the band is off: where the band kept light away. */
export function lateral(
  document: CaseDocument,
  from: "buccal" | "lingual",
  states: readonly string[],
): Exposure {
  const last = document.exposure.at(-1);
  const named = document.exposure.map((one) => one.aim).filter((aim) => typeof aim === "string");
  const box = named.find((aim) => aim.includes("box"))?.replace(/ floor$/, "");
  return {
    state: states.at(-1) ?? last?.state ?? "",
    aim: box ?? last?.aim ?? "",
    from,
    tilt_deg: 0,
    tilt_to: "occlusal",
    standoff_mm: 0,
    seconds: last?.seconds ?? 20,
    ...(last?.mode === undefined ? {} : { mode: last.mode }),
    pause_before_s: 0,
  };
}

/** All seconds of light, and all with the pauses. */
export function chairTime(document: CaseDocument): { light_s: number; all_s: number } {
  const light_s = document.exposure.reduce((sum, one) => sum + one.seconds, 0);
  return { light_s, all_s: document.exposure.reduce((sum, one) => sum + (one.pause_before_s ?? 0), light_s) };
}

export function clamp(value: number, least: number, most: number): number {
  return Math.min(most, Math.max(least, value));
}

export function tenths(mm: number): number {
  return Math.round(mm * 10) / 10;
}

/** A copy of a list with some taken out at a place and others put in. */
export function spliced<T>(list: readonly T[], at: number, out: number, ...into: T[]): T[] {
  return [...list.slice(0, at), ...into, ...list.slice(at + out)];
}
