// A case as the server gives and takes it: the keys of the case file, as JSON.
import type { Uncertain } from "../lib/numbers";
import type { Listed } from "../parts/listing";

/** Sides that a tip comes from, or that its body is tilted to. */
export type Side = "occlusal" | "buccal" | "lingual" | "mesial" | "distal";

/** One press of the light. */
export interface Exposure {
  state: string;
  /** One of the site's named aims, or a point in the tooth's axes [mm]. */
  aim: string | readonly [number, number, number];
  from: Side;
  tilt_deg?: number;
  /** The side that the tip's body moves to; square to `from`. */
  tilt_to?: Side;
  /** Free gap along the axis from the tip's face to what it would touch first. */
  standoff_mm: number;
  seconds: number;
  /** The light's first where it is not named. */
  mode?: string;
  pause_before_s?: number;
}

export type Layering = "horizontal" | "oblique buccal" | "oblique lingual" | "bulk";

export interface Increment {
  layering?: string;
  thickness_mm?: number;
  material?: string;
}

/** A number with how well it is known and where it comes from, as a case file has it. */
export type Known = Uncertain & { sd?: number; kind?: string; source?: string } & Record<string, unknown>;

/** A number, or one with the interval it lies in and where it comes from. */
export type Amount = number | Known;

/** Sizes of one part of a cavity by their keys, in mm; other keys are kept as they are. */
export type CavityPart = Record<string, number | string>;

/** A case file. What this page does not know of is kept and sent back. */
export interface CaseDocument {
  case?: { name?: string; kind?: string; source?: string };
  tooth: {
    number: number;
    /** ISO 3950 where it is not named. */
    notation?: string;
    mesial_neighbour?: boolean;
    distal_neighbour?: boolean;
    dam?: boolean;
  };
  cavity: Record<string, CavityPart>;
  adhesive?: { material?: string; thickness_mm?: number };
  paste: { material: string };
  increment: Increment[];
  matrix?: { kind?: string; thickness_mm?: number; wedge?: boolean } & Record<string, unknown>;
  temperature?: { tooth_c?: number };
  light: { file: string; output_share?: Amount; barrier?: string; barrier_pass?: Amount };
  hand?: Record<string, Amount>;
  patient?: { photosensitive?: boolean; no_natural_lens?: boolean };
  exposure: Exposure[];
}

/** One row of GET /api/restorations. */
export type RestorationRow = Listed;

/** What is said above the list of restorations. */
export function listSentence(rows: readonly RestorationRow[]): { heading: string; sentence: string } {
  return rows.length === 0
    ? {
        heading: "There is no restoration yet",
        sentence: "Begin one here, or lay case files into the data folder.",
      }
    : {
        heading: "Which restoration is to be planned?",
        sentence: "Open one or begin a new one, and change it as you like: the files stay as they are.",
      };
}

/** GET /api/choices: what a case may name. */
export interface Choices {
  lights: {
    file: string;
    name: string;
    tip_diameter_mm: number;
    /** What its file states [mW/cm2]. */
    exitance_mw_cm2: number;
    modes: { name: string; buttons_s: number[] }[];
  }[];
  materials: { file: string; name: string; class: string; shade: string }[];
  barriers: string[];
  teeth: { number: number; name: string; cavities: CavityKind[] }[];
}

/** A kind of cavity that a tooth can take, with sizes to start from. */
export interface CavityKind {
  name: string;
  cavity: CaseDocument["cavity"];
  increment: Increment[];
}

/** The number of an amount; undefined where there is none. */
export function numberOf(amount: Amount | undefined): number | undefined {
  return typeof amount === "object" ? amount.value : amount;
}

/** The same amount with another value. An interval moves along, in proportion: it says how well the value is known. */
export function withValue(amount: Amount | undefined, value: number): Amount {
  if (typeof amount !== "object") return value;
  const moved: Known = { ...amount, value };
  const scale = amount.value === 0 ? 1 : value / amount.value;
  if (amount.low !== undefined) moved.low = round(amount.low * scale);
  if (amount.high !== undefined) moved.high = round(amount.high * scale);
  if (amount.sd !== undefined) moved.sd = round(amount.sd * scale);
  return moved;
}

function round(value: number): number {
  return Number(value.toPrecision(6));
}

/** The seconds that a light's buttons give in a mode; all of its buttons where the mode is not named. */
export function buttonsOf(
  choices: Choices | undefined,
  document: CaseDocument,
  exposure: Exposure,
): number[] {
  const light = choices?.lights.find((one) => one.file === document.light.file);
  const mode = light?.modes.find((one) => one.name === exposure.mode) ?? light?.modes[0];
  return mode?.buttons_s ?? [];
}

/** A case as it came, with what an exposure leaves unsaid said: from occlusal, upright. */
export function whole(document: CaseDocument): CaseDocument {
  return {
    ...document,
    exposure: document.exposure.map((one) => ({
      ...one,
      from: one.from ?? "occlusal",
      tilt_deg: one.tilt_deg ?? 0,
    })),
  };
}

/** The case in a few words each: tooth, paste, layers, band, light. What has no name is said by its file. */
export function factsOf(document: CaseDocument, choices: Choices | undefined): string[] {
  const { tooth, paste, increment, matrix, light } = document;
  const named = (file: string, all: readonly { file: string; name: string }[] | undefined): string =>
    all?.find((one) => one.file === file)?.name ?? file;
  const layers = increment.map((one) =>
    one.layering === "bulk" ? "bulk" : `${one.thickness_mm ?? "?"}\u00a0mm ${one.layering ?? "horizontal"}`,
  );
  const output = numberOf(light.output_share);
  return [
    `Tooth ${tooth.number}${tooth.notation === "Universal" ? " (Universal)" : ""}`,
    named(paste.material, choices?.materials),
    `${increment.length === 1 ? "one increment" : `${increment.length} increments`}: ${layers.join(", ")}`,
    matrix?.kind ? `${matrix.kind} band${matrix.wedge ? " with wedge" : ""}` : "no band",
    `${named(light.file, choices?.lights)}${output === undefined ? "" : `, output today ${Math.round(100 * output)}\u00a0%`}`,
  ];
}
