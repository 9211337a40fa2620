// From the tooth's axes to those of the 3-D view.
import { Vector3 } from "three";
import type { Vec } from "../restoration/pose";

/** The tooth's axes (z to the root) as those of the screen (y up); a rotation, so nothing is mirrored. */
export function upright(point: Vec): Vector3 {
  return new Vector3(point[0], -point[2], point[1]);
}
