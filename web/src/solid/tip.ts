// The tip in the 3-D view: its face and body, and its beam down to the floor. Made once; a moved tip is the same lines
// elsewhere, since the view of a dragged tip is drawn anew some ten times a second.
import {
  type BufferAttribute,
  BufferGeometry,
  type Color,
  CustomBlending,
  CylinderGeometry,
  DoubleSide,
  Group,
  LineBasicMaterial,
  LineLoop,
  Mesh,
  MeshBasicMaterial,
  OneFactor,
  Vector3,
} from "three";
import type { Tip } from "../restoration/answers";
import { upright } from "./upright";

const corners = 48;
const body_mm = 9;

/** Drawn before the tooth, which then covers it: a veil over the resin would change the colour that says how far it has set. */
const behind = { blending: CustomBlending, blendSrcAlpha: OneFactor, depthWrite: false } as const;

export class TipFigure {
  /** Stands with the middle of the tip's face at its origin and the light going down. */
  readonly group = new Group();
  readonly #ink = new LineBasicMaterial();
  readonly #beam = new LineBasicMaterial();
  readonly #glass = new MeshBasicMaterial({ ...behind, opacity: 0.12 });
  readonly #haze = new MeshBasicMaterial({ ...behind, opacity: 0.16, side: DoubleSide });
  readonly #head = new Mesh(new CylinderGeometry(1, 1, 1, corners, 1, false), this.#glass);
  readonly #cone = new Mesh(new CylinderGeometry(1, 1, 1, corners, 1, true), this.#haze);
  readonly #rims: { end: LineLoop; face: LineLoop; lit: LineLoop };

  constructor() {
    const angles = Array.from({ length: corners }, (_, i) => (2 * Math.PI * i) / corners);
    const circle = new BufferGeometry().setFromPoints(
      angles.map((angle) => new Vector3(Math.cos(angle), 0, Math.sin(angle))),
    );
    this.#rims = {
      end: new LineLoop(circle, this.#ink),
      face: new LineLoop(circle, this.#ink),
      lit: new LineLoop(circle, this.#beam),
    };
    for (const one of [this.#head, this.#cone]) one.renderOrder = -1;
    this.group.add(this.#head, this.#cone, ...Object.values(this.#rims));
    this.group.visible = false;
  }

  paint(ink: Color, beam: Color): void {
    for (const material of [this.#ink, this.#glass]) material.color.copy(ink);
    for (const material of [this.#beam, this.#haze]) material.color.copy(beam);
  }

  /** Stands where a tip is held; without one it is not seen. */
  hold(tip: Tip | undefined): void {
    this.group.visible = tip !== undefined;
    if (!tip) return;
    this.group.position.copy(upright(tip.centre_mm));
    this.group.quaternion.setFromUnitVectors(new Vector3(0, -1, 0), upright(tip.axis).normalize());
    const r = tip.radius_mm;
    const long = Math.max(1, tip.distance_to_floor_mm);
    const wide = r + long * Math.tan((tip.half_angle_deg * Math.PI) / 180);
    this.#head.scale.set(r, body_mm, r);
    this.#head.position.y = body_mm / 2;
    this.#rims.end.scale.setScalar(r);
    this.#rims.end.position.y = body_mm;
    this.#rims.face.scale.setScalar(r);
    this.#rims.lit.scale.setScalar(wide);
    this.#rims.lit.position.y = -long;
    this.#cone.scale.y = long;
    this.#cone.position.y = -long / 2;
    const places = this.#cone.geometry.getAttribute("position") as BufferAttribute;
    for (let i = 0; i < places.count; ++i) {
      const radius = places.getY(i) > 0 ? r : wide;
      const now = Math.hypot(places.getX(i), places.getZ(i));
      places.setXYZ(i, (places.getX(i) * radius) / now, places.getY(i), (places.getZ(i) * radius) / now);
    }
    places.needsUpdate = true;
    this.#cone.geometry.computeBoundingSphere();
  }

  dispose(): void {
    for (const part of [this.#head, this.#cone, this.#rims.face]) part.geometry.dispose();
    for (const material of [this.#ink, this.#beam, this.#glass, this.#haze]) material.dispose();
  }
}
