// What the server says of a light, and the sentences made from it.
import { percent, type Uncertain, withUnit } from "../lib/numbers";
import type { Listed } from "../parts/listing";
import { type Point, valueAt } from "../plot/path";

/** One row of GET /api/lights. A light whose file cannot be used has only its problems. */
export interface LightRow extends Listed {
  tip_diameter_mm?: number;
  exitance_mw_cm2?: Uncertain;
}

/** What is said above the list of lights. */
export function listSentence(lights: readonly LightRow[]): { heading: string; sentence: string } {
  if (lights.length === 0)
    return {
      heading: "There is no light yet",
      sentence: "Lights are read from the folder “lights” in the data folder, one TOML file each.",
    };
  const faulty = lights.filter((one) => one.problems.length > 0).length;
  const all = lights.length === 1 ? "One light" : `${lights.length} lights`;
  if (faulty > 0)
    return {
      heading: `${all}; ${faulty === 1 ? "one file" : `${faulty} files`} cannot be read`,
      sentence: "",
    };
  return {
    heading: `${all}, ${lights.length === 1 ? "as its file describes it" : "each as its file describes it"}`,
    sentence: "",
  };
}

/** GET /api/lights/{id}. Arrays that belong together have the same length. */
export interface Light {
  id: string;
  name: string;
  tip_diameter_mm: number;
  power_mw: Uncertain;
  exitance_mw_cm2: Uncertain;
  shares: { below_385: number; from_385_to_515: number; above_515: number };
  /** Irradiance at the tip's plane, rows from the top; the first pixel's middle lies at (left_mm, top_mm). */
  map: {
    columns: number;
    rows: number;
    mm_per_pixel: number;
    left_mm: number;
    top_mm: number;
    irradiance_mw_cm2: number[];
  };
  beam: Measure[];
  spectrum: { wavelength_nm: number[]; power_mw_per_nm: number[] };
  /** On the axis, over the sensor's aperture; readings where somebody measured. */
  distance: {
    aperture_mm: number;
    mm: number[];
    irradiance_mw_cm2: number[];
    measured: { mm: number; irradiance_mw_cm2: number }[];
  };
}

/** A number of the beam with its name in the trade's words. */
export interface Measure {
  name: string;
  value: number;
  unit: string;
  source: string;
}

/** Pairs of two arrays that belong together. */
export function pairs(x: readonly number[], y: readonly number[]): Point[] {
  return x.slice(0, y.length).map((value, i) => [value, y[i] ?? 0] as const);
}

/** The share of the irradiance at the tip that is left at a distance; undefined where the light was not followed so far. */
export function shareLeft(light: Light, mm: number): number | undefined {
  const curve = pairs(light.distance.mm, light.distance.irradiance_mw_cm2);
  const last = curve[curve.length - 1];
  const atTip = curve[0]?.[1];
  if (!last || !atTip || last[0] < mm) return undefined;
  const there = valueAt(curve, mm);
  return there === undefined ? undefined : there / atTip;
}

/** The distance that the sentence speaks of: that of a deep floor from the tip. */
export const farAway = 8;

/** The answer: what the tip gives over its area, and how much of the irradiance on its axis reaches a deep floor. */
export function sentence(light: Light): string {
  const gives = `This tip, ${withUnit(light.tip_diameter_mm, "mm")} wide, gives ${withUnit(light.exitance_mw_cm2.value, "mW/cm²")}`;
  const left = shareLeft(light, farAway);
  return left === undefined
    ? `${gives}.`
    : `${gives}; at ${withUnit(farAway, "mm")} distance ${percent(left)} of the irradiance on its axis is left.`;
}

/** What the map shows, in words. */
export function mapSentence(light: Light): string {
  const values = light.map.irradiance_mw_cm2;
  const most = values.reduce((a, b) => Math.max(a, b), 0);
  const brightest = withUnit(most, "mW/cm²");
  const average = withUnit(light.exitance_mw_cm2.value, "mW/cm²");
  const tip = withUnit(light.tip_diameter_mm, "mm");
  return `Map of the beam at the tip: ${brightest} at the brightest place, ${average} on average over the tip of ${tip}.`;
}
