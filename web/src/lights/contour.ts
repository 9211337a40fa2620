// Contours of a map, from the grid's own places to the picture's.
import type { Contours } from "d3-contour";
import type { Light } from "./light";

type Map = Light["map"];
type Place = (mm: number) => number;
type Shape = ReturnType<Contours["contour"]>;

/** A line of equal irradiance and where its label stands. */
export interface Isoline {
  level: number;
  d: string;
  x: number;
  y: number;
}

// The library counts from the corner of the first pixel, so that the pixel's middle is (0.5, 0.5).
const mmOf = (map: Map, column: number, row: number): readonly [number, number] => [
  map.left_mm + (column - 0.5) * map.mm_per_pixel,
  map.top_mm + (row - 0.5) * map.mm_per_pixel,
];

/** The rings of a contour as one path. */
export function outline(shape: Shape, map: Map, place: Place): string {
  const ring = (points: number[][]): string =>
    `M${points
      .map(([column = 0, row = 0]) => {
        const [x, y] = mmOf(map, column, row);
        return `${place(x).toFixed(1)} ${place(y).toFixed(1)}`;
      })
      .join("L")}Z`;
  return shape.coordinates.flatMap((polygon) => polygon.map(ring)).join("");
}

/** A line that keeps this close to the tip's edge all round says where that is, and nothing of the beam [mm]. */
const rim_mm = 0.35;

/**
 * Lines at the levels. Labels go round the clock, so that crowded lines keep theirs apart. Of the lines that only follow
 * the tip's edge the highest is drawn, and only where there is no other.
 */
export function isolines(
  grid: Contours,
  map: Map,
  levels: readonly number[],
  place: Place,
  radius_mm: number,
): Isoline[] {
  const all = levels.map((level) => ({ level, shape: grid.contour(map.irradiance_mw_cm2, level) }));
  const telling = all.filter(({ shape }) => !alongRim(shape, map, radius_mm));
  return (telling.length > 0 ? telling : all.slice(-1)).flatMap(({ level, shape }, i) => {
    const angle = ((-60 + 50 * i) * Math.PI) / 180;
    const label = furthest(shape, map, [Math.cos(angle), Math.sin(angle)]);
    if (!label) return [];
    return [{ level, d: outline(shape, map, place), x: place(label[0]), y: place(label[1]) }];
  });
}

function alongRim(shape: Shape, map: Map, radius_mm: number): boolean {
  return shape.coordinates
    .flat(2)
    .every(([column = 0, row = 0]) => Math.abs(Math.hypot(...mmOf(map, column, row)) - radius_mm) < rim_mm);
}

/** The contour's point that lies furthest in a direction [mm]. */
function furthest(
  shape: Shape,
  map: Map,
  [dx, dy]: readonly [number, number],
): readonly [number, number] | undefined {
  let best: readonly [number, number] | undefined;
  for (const [column = 0, row = 0] of shape.coordinates.flat(2)) {
    const point = mmOf(map, column, row);
    if (!best || point[0] * dx + point[1] * dy > best[0] * dx + best[1] * dy) best = point;
  }
  return best;
}
