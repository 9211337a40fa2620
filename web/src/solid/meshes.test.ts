import { describe, expect, it } from "vitest";
import { cutOf, meshesOf, reachOf } from "./meshes";

const base64 = (array: Float32Array | Uint32Array): string => {
  const view = new DataView(new ArrayBuffer(4 * array.length));
  array.forEach((value, i) => {
    if (array instanceof Float32Array) view.setFloat32(4 * i, value, true);
    else view.setUint32(4 * i, value, true);
  });
  return btoa(String.fromCharCode(...new Uint8Array(view.buffer)));
};

const triangle = new Float32Array([0, 0, 0, 2, 0, 0, 0, 4, 0]);

describe("meshesOf", () => {
  it("reads numbers and triangles", () => {
    const [mesh] = meshesOf({
      meshes: [
        { medium: "enamel", positions: base64(triangle), indices: base64(new Uint32Array([0, 1, 2])) },
      ],
    });
    expect(mesh?.medium).toBe("enamel");
    expect([...(mesh?.positions ?? [])]).toEqual([...triangle]);
    expect([...(mesh?.indices ?? [])]).toEqual([0, 1, 2]);
  });
  it("leaves out what cannot be drawn", () => {
    const broken = [
      { medium: "a", positions: base64(triangle), indices: base64(new Uint32Array([0, 1, 3])) },
      { medium: "b", positions: base64(triangle), indices: base64(new Uint32Array([0, 1])) },
      { medium: "c", positions: base64(triangle.slice(1)), indices: base64(new Uint32Array([0, 1, 2])) },
    ];
    expect(meshesOf({ meshes: broken })).toEqual([]);
  });
});

describe("reachOf", () => {
  it("holds everything", () => {
    const reach = reachOf([{ medium: "enamel", positions: triangle, indices: new Uint32Array([0, 1, 2]) }]);
    expect(reach.middle).toEqual([1, 2, 0]);
    expect(reach.radius).toBeCloseTo(Math.sqrt(5), 12);
    expect(reachOf([]).radius).toBeGreaterThan(0);
  });
});

describe("cutOf", () => {
  const mesh = { medium: "enamel", positions: triangle, indices: new Uint32Array([0, 1, 2]) };
  it("is the line in the plane, between the sides", () => {
    expect(cutOf(mesh, 0, 1)).toEqual([1, 0, 0, 1, 2, 0]);
    expect(cutOf(mesh, 1, 1)).toEqual([1.5, 1, 0, 0, 1, 0]);
  });
  it("is nothing beside the mesh, and nothing twice where a corner lies in the plane", () => {
    expect(cutOf(mesh, 0, 3)).toEqual([]);
    expect(cutOf(mesh, 2, 0)).toEqual([]);
    expect(cutOf(mesh, 0, 2)).toHaveLength(6);
    expect(cutOf(mesh, 0, 0)).toEqual([]);
  });
});
