import { describe, expect, it } from "vitest";
import { handles } from "./handles";
import type { Hold, Place } from "./pose";

function hold(tilt: number): Hold {
  const rad = (tilt * Math.PI) / 180;
  return {
    body: [Math.sin(rad), -Math.cos(rad)],
    up: [0, -1],
    right: [1, 0],
    along: true,
    turn: { left: "mesial", right: "distal" },
    tilt_deg: tilt,
  };
}

describe("handles", () => {
  it("stay inside the drawing and apart, whatever the pose and the screen", () => {
    const size: Place = [60, 50];
    const aim: Place = [34, 34];
    const corner: Place = [2, 6];
    for (const px of [350 / 60, 700 / 60]) {
      for (let tilt = -80; tilt <= 80; tilt += 10) {
        for (let gap = 0; gap <= 15; gap += 1.5) {
          const held = hold(tilt);
          const out = 2 * (6 + gap);
          const { tip, turn } = handles(
            held,
            aim,
            [aim[0] + out * held.body[0], aim[1] + out * held.body[1]],
            size,
            px,
            corner,
          );
          expect(tip && turn).toBeTruthy();
          for (const [x, y] of [tip ?? [0, 0], turn ?? [0, 0]]) {
            const inside = Math.min(x - corner[0], size[0] - corner[0] - x, y - corner[1], size[1] - y);
            expect(inside * px).toBeGreaterThanOrEqual(27.9);
          }
          const apart =
            Math.hypot((tip?.[0] ?? 0) - (turn?.[0] ?? 0), (tip?.[1] ?? 0) - (turn?.[1] ?? 0)) * px;
          expect(apart).toBeGreaterThan(48);
        }
      }
    }
  });
  it("are none on a tip seen from its end, and one where the tilt is not seen", () => {
    expect(handles({ ...hold(0), along: false }, [0, 0], [0, 0], [60, 50], 6)).toEqual({});
    const { turn, ...still } = hold(0);
    expect(handles(still, [30, 30], [30, 20], [60, 50], 6).turn).toBeUndefined();
  });
});
