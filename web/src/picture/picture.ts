// A picture as the server draws it: strokes, areas, rasters and words in millimetres, the first undermost.

/** Places of a line, x and y in turn [mm]: x to the right, y down. */
export type Flat = number[];

export type Mark =
  | { kind: "stroke"; line: Flat; closed?: boolean; width: number; colour: string; dashes?: number[] }
  | { kind: "polygon"; rings: Flat[]; colour: string }
  | { kind: "raster"; x: number; y: number; width: number; height: number; png: string; clip?: Flat }
  | {
      kind: "text";
      x: number;
      y: number;
      words: string;
      size: number;
      colour: string;
      align: "start" | "middle" | "end";
      turn?: number;
      halo?: string;
    };

export interface Picture {
  width: number;
  height: number;
  paper: string;
  description: string;
  marks: Mark[];
}
