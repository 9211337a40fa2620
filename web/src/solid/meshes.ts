// Meshes as the server sends them: base64 of little-endian arrays.

/** POST /api/plan/meshes */
export interface MeshesAnswer {
  meshes: { medium: string; positions: string; indices: string }[];
}

export interface Mesh {
  medium: string;
  /** x, y, z of each vertex in the tooth's axes [mm]. */
  positions: Float32Array<ArrayBuffer>;
  /** Three to a triangle, counter-clockwise from outside. */
  indices: Uint32Array<ArrayBuffer>;
}

/** Reads meshes; one with an index beyond its vertices, or with half a triangle, is left out. */
export function meshesOf(answer: MeshesAnswer): Mesh[] {
  return answer.meshes.flatMap(({ medium, positions, indices }) => {
    const mesh = {
      medium,
      positions: new Float32Array(numbers(positions, (view, at) => view.getFloat32(at, true))),
      indices: new Uint32Array(numbers(indices, (view, at) => view.getUint32(at, true))),
    };
    const vertices = mesh.positions.length / 3;
    const whole = Number.isInteger(vertices) && mesh.indices.length % 3 === 0;
    return whole && mesh.indices.every((one) => one < vertices) ? [mesh] : [];
  });
}

/** Numbers of four bytes each. */
function numbers(base64: string, read: (view: DataView, at: number) => number): number[] {
  const text = atob(base64);
  const view = new DataView(new ArrayBuffer(text.length));
  for (let i = 0; i < text.length; ++i) view.setUint8(i, text.charCodeAt(i));
  return Array.from({ length: Math.floor(text.length / 4) }, (_, i) => read(view, 4 * i));
}

/** How far meshes reach, in mm: the middle and the radius of a ball that holds the ones named, or all. */
export function reachOf(meshes: readonly Mesh[]): { middle: [number, number, number]; radius: number } {
  const least = [Infinity, Infinity, Infinity];
  const most = [-Infinity, -Infinity, -Infinity];
  for (const { positions } of meshes) {
    positions.forEach((value, i) => {
      least[i % 3] = Math.min(least[i % 3] ?? value, value);
      most[i % 3] = Math.max(most[i % 3] ?? value, value);
    });
  }
  if (!Number.isFinite(least[0])) return { middle: [0, 0, 5], radius: 8 };
  const middle = [0, 1, 2].map((axis) => ((least[axis] ?? 0) + (most[axis] ?? 0)) / 2);
  const half = [0, 1, 2].map((axis) => ((most[axis] ?? 0) - (least[axis] ?? 0)) / 2);
  return { middle: [middle[0] ?? 0, middle[1] ?? 0, middle[2] ?? 0], radius: Math.hypot(...half) };
}

/** Where a plane square to an axis (0, 1, 2) cuts a mesh [mm]: pieces of line, six numbers each. */
export function cutOf({ positions, indices }: Mesh, axis: 0 | 1 | 2, at_mm: number): number[] {
  const pieces: number[] = [];
  const place = (vertex: number, of: number): number => positions[3 * vertex + of] ?? 0;
  for (let i = 0; i + 2 < indices.length; i += 3) {
    const corners = [indices[i] ?? 0, indices[i + 1] ?? 0, indices[i + 2] ?? 0];
    const beyond = corners.map((one) => place(one, axis) >= at_mm);
    if (beyond[0] === beyond[1] && beyond[1] === beyond[2]) continue;
    // Two sides of the triangle lead through the plane.
    for (const [k, from] of corners.entries()) {
      const to = corners[(k + 1) % 3] ?? 0;
      if (beyond[k] === beyond[(k + 1) % 3]) continue;
      const share = (at_mm - place(from, axis)) / (place(to, axis) - place(from, axis));
      for (const of of [0, 1, 2]) pieces.push(place(from, of) + share * (place(to, of) - place(from, of)));
    }
  }
  return pieces;
}
