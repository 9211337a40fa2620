import { describe, expect, it } from "vitest";
import type { Exposure } from "./case";
import {
  bodyOf,
  centreIn,
  cutOf,
  draggedTip,
  type Grip,
  gripOf,
  holdOf,
  loosened,
  type SectionMap,
  tiltOf,
  toPicture,
  turnedTip,
  type Vec,
} from "./pose";

/** Cut along the arch, mesial on the left, two drawing millimetres a scene millimetre. */
const along: SectionMap = {
  corner_mm: [-8, 0, -12],
  right: [1, 0, 0],
  down: [0, 0, 1],
  picture_origin_mm: [5, 5],
  picture_mm_per_mm: 2,
};
/** Cut across it, buccal on the left. */
const across: SectionMap = { ...along, corner_mm: [4, -10, -12], right: [0, 1, 0] };
const mirrored: SectionMap = { ...along, corner_mm: [8, 0, -12], right: [-1, 0, 0] };

const upright: Exposure = {
  state: "adhesive bare",
  aim: "distal box floor",
  from: "occlusal",
  tilt_deg: 0,
  tilt_to: "distal",
  standoff_mm: 6,
  seconds: 20,
};
const tilted: Exposure = { ...upright, tilt_deg: 20 };
const aim: Vec = [4, 0, 6];

/** The tip where its face touches 6 mm from the aim, so at 12 mm for the standoff of 6 mm. */
function grip(exposure: Exposure, map = along): Grip {
  const body = bodyOf(exposure);
  const out = 6 + exposure.standoff_mm;
  return gripOf(exposure, map, aim, [aim[0] + out * body[0], aim[1] + out * body[1], aim[2] + out * body[2]]);
}

describe("bodyOf", () => {
  it("stands on the side that the tip comes from, and leans to the side of the tilt", () => {
    expect(bodyOf(upright)).toEqual([0, 0, -1]);
    const leaning = bodyOf(tilted);
    expect(leaning[0]).toBeCloseTo(Math.sin(Math.PI / 9), 12);
    expect(leaning[2]).toBeCloseTo(-Math.cos(Math.PI / 9), 12);
    expect(bodyOf({ ...upright, from: "buccal" })).toEqual([0, -1, 0]);
  });
});

describe("holdOf", () => {
  it("counts the tilt to the right hand", () => {
    expect(holdOf(tilted, along)).toMatchObject({ tilt_deg: 20, turn: { left: "mesial", right: "distal" } });
    expect(holdOf({ ...tilted, tilt_to: "mesial" }, along).tilt_deg).toBe(-20);
    expect(holdOf(tilted, mirrored)).toMatchObject({
      tilt_deg: -20,
      turn: { left: "distal", right: "mesial" },
    });
  });
  it("cannot turn what it does not see, but still moves it along", () => {
    const hold = holdOf(tilted, across);
    expect(hold.turn).toBeUndefined();
    expect(hold.along).toBe(true);
    expect(Math.hypot(...hold.body)).toBeCloseTo(Math.cos(Math.PI / 9), 12);
  });
  it("has nothing to hold on a tip seen from its end", () => {
    const hold = holdOf({ ...upright, from: "lingual", tilt_to: "occlusal" }, along);
    expect(hold.turn).toBeUndefined();
    expect(hold.along).toBe(false);
  });
  it("from the cheek allows a tilt to occlusal alone", () => {
    const hold = holdOf({ ...upright, from: "buccal", tilt_deg: 15, tilt_to: "occlusal" }, across);
    expect(hold.turn).toEqual({ left: undefined, right: "occlusal" });
    expect(hold.tilt_deg).toBe(15);
    expect(tiltOf({ left: undefined, right: "occlusal" }, -10)).toEqual({ tilt_deg: 0, tilt_to: "occlusal" });
    expect(tiltOf({ left: undefined, right: "occlusal" }, 10)).toEqual({
      tilt_deg: 10,
      tilt_to: "occlusal",
    });
  });
});

describe("draggedTip", () => {
  const both = { along: true, turn: true };
  it("moves nothing when nothing moved", () => {
    expect(draggedTip(grip(tilted), [0, 0], both)).toEqual({
      standoff_mm: 6,
      tilt_deg: 20,
      tilt_to: "distal",
    });
  });
  it("along the axis changes the gap by what the finger moved in the tooth", () => {
    expect(draggedTip(grip(upright), [0, 8], { along: true, turn: false })).toEqual({ standoff_mm: 2 });
    expect(draggedTip(grip(upright), [0, 80], { along: true, turn: false })).toEqual({ standoff_mm: 0 });
    expect(draggedTip(grip(upright), [0, -80], { along: true, turn: false })).toEqual({ standoff_mm: 15 });
  });
  it("sideways turns about the aim", () => {
    const sideways = draggedTip(grip(upright), [24, 0], { along: false, turn: true });
    expect(sideways).toEqual({ tilt_deg: 45, tilt_to: "distal" });
    expect(draggedTip(grip(upright), [-24, 0], { along: false, turn: true })).toEqual({
      tilt_deg: 45,
      tilt_to: "mesial",
    });
  });
  it("follows the finger: the tip stands where it was dragged to", () => {
    const held = grip(tilted);
    for (const by of [
      [3, 4],
      [-9, 2],
      [10, -6],
    ] as const) {
      const pose = { ...tilted, ...draggedTip(held, by, both) };
      const there = centreIn(held, pose);
      expect(Math.abs(there[0] - held.centre[0] - by[0])).toBeLessThan(0.4); // a degree at 12 mm, a tenth of the gap
      expect(Math.abs(there[1] - held.centre[1] - by[1])).toBeLessThan(0.4);
    }
  });
  it("in a cut that the tip leans out of, counts the way along the axis", () => {
    const shorter = Math.cos(Math.PI / 9);
    expect(draggedTip(grip(tilted, across), [0, -2 * shorter], both)).toEqual({ standoff_mm: 7 });
  });
});

describe("turnedTip", () => {
  it("turns by the angle that the finger goes about the aim", () => {
    const held = grip(tilted);
    const at = (deg: number): readonly [number, number] => [
      held.aim[0] + 30 * Math.sin((deg * Math.PI) / 180),
      held.aim[1] - 30 * Math.cos((deg * Math.PI) / 180),
    ];
    expect(turnedTip(held, at(24), at(4))).toEqual({ tilt_deg: 0, tilt_to: "distal" });
    expect(turnedTip(held, at(24), at(-11))).toEqual({ tilt_deg: 15, tilt_to: "mesial" });
    expect(turnedTip(held, at(24), at(124))).toEqual({ tilt_deg: 80, tilt_to: "distal" });
  });
});

describe("loosened", () => {
  const none = { along: false, turn: false };
  it("takes a nearly straight finger for straight", () => {
    expect(loosened([2, 5], [0, -1], none)).toEqual(none);
    expect(loosened([4, 20], [0, -1], none)).toEqual({ along: true, turn: false });
    expect(loosened([20, 4], [0, -1], none)).toEqual({ along: false, turn: true });
    expect(loosened([20, 20], [0, -1], none)).toEqual({ along: true, turn: true });
  });
  it("keeps what it took, and takes a long way at last", () => {
    expect(loosened([0, 0], [0, -1], { along: true, turn: false })).toEqual({ along: true, turn: false });
    expect(loosened([30, 90], [0, -1], none)).toEqual({ along: true, turn: true });
  });
});

describe("toPicture", () => {
  it("lays the scene on the drawing", () => {
    expect(toPicture(along, [4, 3, 6])).toEqual([29, 41]);
    expect(toPicture(mirrored, [4, 3, 6])).toEqual([13, 41]);
  });
});

describe("cutOf", () => {
  it("shows the tilt, or the side that the tip comes from", () => {
    expect(cutOf(tilted)).toBe("mesiodistal");
    expect(cutOf({ ...tilted, tilt_to: "lingual" })).toBe("buccolingual");
    expect(cutOf({ ...upright, tilt_to: "lingual" })).toBe("mesiodistal");
    expect(cutOf({ ...upright, from: "buccal" })).toBe("buccolingual");
  });
});
