// A picture as the server sends it: a list of marks in sheet millimetres, the first undermost. Its schema is described
// in draw/picture_json.hpp.

export interface Stroke {
  kind: "stroke";
  line: number[];
  width: number;
  colour: string;
  closed?: boolean;
  dashes?: number[];
}
export interface Polygon {
  kind: "polygon";
  rings: number[][];
  colour: string;
}
export interface Raster {
  kind: "raster";
  x: number;
  y: number;
  width: number;
  height: number;
  png: string;
  clip?: number[];
}
/** Areas one over another, seen only inside the clip. */
export interface Shading {
  kind: "shading";
  clip: number[][];
  areas: { rings: number[][]; colour: string }[];
}
export interface Text {
  kind: "text";
  x: number;
  y: number;
  words: string;
  size: number;
  colour: string;
  align: "start" | "middle" | "end";
  /** Degrees, clockwise. */
  turn?: number;
  /** A rim about the letters. */
  halo?: string;
}
export type Mark = Stroke | Polygon | Raster | Shading | Text;

export interface Picture {
  width: number;
  height: number;
  paper: string;
  /** The same in words, for who cannot see it. */
  description: string;
  marks: Mark[];
}

/** What came is no picture; the message names the place. */
export class PictureProblem extends Error {}

type Fields = Record<string, unknown>;

function fail(where: string, wanted: string): never {
  throw new PictureProblem(`${where} should be ${wanted}`);
}
function fields(value: unknown, where: string): Fields {
  if (typeof value !== "object" || value === null || Array.isArray(value)) fail(where, "an object");
  return value as Fields;
}
function number(value: unknown, where: string, least = -1e6): number {
  if (typeof value !== "number" || !Number.isFinite(value)) fail(where, "a number");
  if (value < least) fail(where, `${least} or more`);
  return value;
}
function words(value: unknown, where: string): string {
  if (typeof value !== "string") fail(where, "text");
  return value;
}
function list(value: unknown, where: string): unknown[] {
  if (!Array.isArray(value)) fail(where, "a list");
  return value;
}
function numbers(value: unknown, where: string): number[] {
  return list(value, where).map((one, i) => number(one, `${where}[${i}]`));
}
function line(value: unknown, where: string): number[] {
  const flat = numbers(value, where);
  if (flat.length % 2 !== 0) fail(where, "pairs of x and y");
  return flat;
}
function rings(value: unknown, where: string): number[][] {
  return list(value, where).map((ring, i) => line(ring, `${where}[${i}]`));
}
function colour(value: unknown, where: string): string {
  const hex = words(value, where);
  if (!/^#([0-9a-f]{6}|[0-9a-f]{8})$/.test(hex)) fail(where, "a colour such as #1d1f24");
  return hex;
}
function png(value: unknown, where: string): string {
  const uri = words(value, where);
  if (!/^data:image\/png;base64,[A-Za-z0-9+/]+=*$/.test(uri))
    fail(where, "a PNG as data:image/png;base64,...");
  return uri;
}
function align(value: unknown, where: string): Text["align"] {
  if (value !== "start" && value !== "middle" && value !== "end") fail(where, "start, middle or end");
  return value;
}

function mark(value: unknown, where: string): Mark {
  const from = fields(value, where);
  switch (from.kind) {
    case "stroke":
      return {
        kind: "stroke",
        line: line(from.line, `${where}.line`),
        width: number(from.width, `${where}.width`, 0),
        colour: colour(from.colour, `${where}.colour`),
        ...(from.closed === true ? { closed: true } : {}),
        ...(from.dashes === undefined ? {} : { dashes: numbers(from.dashes, `${where}.dashes`) }),
      };
    case "polygon":
      return {
        kind: "polygon",
        rings: rings(from.rings, `${where}.rings`),
        colour: colour(from.colour, `${where}.colour`),
      };
    case "raster":
      return {
        kind: "raster",
        x: number(from.x, `${where}.x`),
        y: number(from.y, `${where}.y`),
        width: number(from.width, `${where}.width`, 0),
        height: number(from.height, `${where}.height`, 0),
        png: png(from.png, `${where}.png`),
        ...(from.clip === undefined ? {} : { clip: line(from.clip, `${where}.clip`) }),
      };
    case "shading":
      return {
        kind: "shading",
        clip: rings(from.clip, `${where}.clip`),
        areas: list(from.areas, `${where}.areas`).map((one, i) => {
          const area = fields(one, `${where}.areas[${i}]`);
          return {
            rings: rings(area.rings, `${where}.areas[${i}].rings`),
            colour: colour(area.colour, `${where}.areas[${i}].colour`),
          };
        }),
      };
    case "text":
      return {
        kind: "text",
        x: number(from.x, `${where}.x`),
        y: number(from.y, `${where}.y`),
        words: words(from.words, `${where}.words`),
        size: number(from.size, `${where}.size`, 0),
        colour: colour(from.colour, `${where}.colour`),
        align: align(from.align, `${where}.align`),
        ...(from.turn === undefined ? {} : { turn: number(from.turn, `${where}.turn`) }),
        ...(from.halo === undefined ? {} : { halo: colour(from.halo, `${where}.halo`) }),
      };
    default:
      return fail(`${where}.kind`, "stroke, polygon, raster, shading or text");
  }
}

/** Takes what the server sent; throws a PictureProblem where it is no picture. Fields that are not known are dropped. */
export function picture(value: unknown): Picture {
  const from = fields(value, "the picture");
  return {
    width: number(from.width, "width", 0),
    height: number(from.height, "height", 0),
    paper: colour(from.paper, "paper"),
    description: words(from.description, "description"),
    marks: list(from.marks, "marks").map((one, i) => mark(one, `marks[${i}]`)),
  };
}

/** A flat line as the `d` of an SVG path. */
export function path(flat: readonly number[], closed = false): string {
  let d = "";
  for (let i = 0; i + 1 < flat.length; i += 2) d += `${i === 0 ? "M" : "L"}${flat[i]} ${flat[i + 1]}`;
  return closed && d !== "" ? `${d}Z` : d;
}

/** Closed lines as the `d` of one SVG path. */
export function area(rings: readonly (readonly number[])[]): string {
  return rings.map((ring) => path(ring, true)).join("");
}
