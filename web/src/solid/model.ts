// The tooth in 3-D: media cut by a plane, the tip and its beam, the places that must cure. Draws only when asked.
import {
  AlwaysStencilFunc,
  AmbientLight,
  BackSide,
  BufferAttribute,
  BufferGeometry,
  Color,
  DecrementWrapStencilOp,
  DirectionalLight,
  DoubleSide,
  FrontSide,
  Group,
  IncrementWrapStencilOp,
  LineBasicMaterial,
  LineSegments,
  Mesh,
  MeshBasicMaterial,
  MeshLambertMaterial,
  NotEqualStencilFunc,
  PerspectiveCamera,
  Plane,
  PlaneGeometry,
  Quaternion,
  ReplaceStencilOp,
  Scene,
  SphereGeometry,
  Vector3,
  WebGLRenderer,
} from "three";
import type { Tip } from "../restoration/answers";
import type { Vec } from "../restoration/pose";
import { cutOf, reachOf, type Mesh as Shape } from "./meshes";
import { TipFigure } from "./tip";
import { upright } from "./upright";

/** The direction that a cut looks in, in the tooth's axes. */
export type CutAxis = "y" | "x" | "z";

export interface Look {
  paper: string;
  ink: string;
  beam: string;
  colourOf: (medium: string) => string;
}

const axes = { x: 0, y: 1, z: 2 } as const;

/** A place that must cure. */
export interface Dot {
  at: Vec;
  colour: string;
}

export class Model {
  readonly #renderer: WebGLRenderer;
  readonly #scene = new Scene();
  readonly #camera = new PerspectiveCamera(28, 1, 1, 400);
  readonly #tooth = new Group();
  readonly #tip = new TipFigure();
  readonly #dots = new Group();
  readonly #ball = new SphereGeometry(1, 16, 12);
  readonly #rim = new MeshBasicMaterial({ depthTest: false, transparent: true });
  /** What lies behind it, against its normal, is left away. */
  readonly #cut = new Plane(new Vector3(0, 0, -1), 0);
  #middle = new Vector3(0, -5, 0);
  #radius = 10;
  /** What is painted in the colour of a medium. */
  #painted: { medium: string; materials: (MeshLambertMaterial | MeshBasicMaterial)[] }[] = [];
  #caps: Mesh[] = [];
  #shapes: readonly Shape[] = [];
  /** Where the cut meets the media, in ink as on the section drawing. */
  readonly #lines = new LineSegments(new BufferGeometry(), new LineBasicMaterial());
  #cutAt: { axis: CutAxis; at_mm: number } = { axis: "y", at_mm: 0 };
  #turned = { around: -0.45, above: 0.35, near: 1 };

  /** Throws where the browser gives no WebGL. */
  constructor(
    private readonly canvas: HTMLCanvasElement,
    look: Look,
  ) {
    this.#renderer = new WebGLRenderer({ canvas, antialias: true, stencil: true });
    this.#renderer.localClippingEnabled = true;
    const sun = new DirectionalLight(0xffffff, 1.6);
    sun.position.set(0.4, 1, 1.2);
    this.#camera.add(sun);
    this.#scene.add(
      new AmbientLight(0xffffff, 1.5),
      this.#camera,
      this.#tooth,
      this.#lines,
      this.#tip.group,
      this.#dots,
    );
    this.paint(look);
  }

  /** The media of one state, in the order given; frames the tooth itself. */
  setMeshes(meshes: readonly Shape[]): void {
    empty(this.#tooth);
    this.#caps = [];
    this.#painted = [];
    const own = meshes.filter((one) => !/neighbour|gingiva|dam/.test(one.medium));
    const { middle, radius } = reachOf(own.length > 0 ? own : meshes);
    this.#middle = upright(middle);
    this.#radius = radius;
    for (const [i, one] of meshes.entries()) {
      // The band has no thickness: nothing of it is to be filled where it is cut.
      if (one.medium === "matrix") this.#addSheet(one);
      else this.#addMedium(one, i);
    }
    this.#shapes = meshes;
    this.#drawLines();
  }

  /** Paints all but the dots; to be called after new meshes. */
  paint(look: Look): void {
    this.#scene.background = new Color(look.paper);
    this.#rim.color.set(look.ink);
    this.#lines.material.color.set(look.ink);
    this.#tip.paint(new Color(look.ink), new Color(look.beam));
    for (const { medium, materials } of this.#painted) {
      const colour = look.colourOf(medium);
      for (const material of materials) material.color.set(colour);
    }
  }

  /** A band, seen through: the tooth behind it is what one looks for. */
  #addSheet(shape: Shape): void {
    const sheet = new Mesh(
      geometryOf(shape),
      new MeshLambertMaterial({
        clippingPlanes: [this.#cut],
        side: DoubleSide,
        transparent: true,
        opacity: 0.3,
        depthWrite: false,
        // It lies on the tooth, whose own mesh is as coarse: nearer by some tenths of a millimetre at this distance.
        polygonOffset: true,
        polygonOffsetUnits: -2000,
      }),
    );
    sheet.renderOrder = 1001;
    this.#tooth.add(sheet);
    this.#painted.push({ medium: shape.medium, materials: [sheet.material] });
  }

  #addMedium(shape: Shape, order: number): void {
    const geometry = geometryOf(shape);
    const clippingPlanes = [this.#cut];
    const body = new Mesh(geometry, new MeshLambertMaterial({ clippingPlanes, side: DoubleSide }));
    body.renderOrder = 1000;
    this.#tooth.add(body);
    // The cut face: counts how often the line of sight enters and leaves the medium behind the plane, and fills where
    // it is still inside.
    for (const [side, operation] of [
      [BackSide, IncrementWrapStencilOp],
      [FrontSide, DecrementWrapStencilOp],
    ] as const) {
      const counter = new Mesh(
        geometry,
        new MeshBasicMaterial({
          side,
          clippingPlanes,
          colorWrite: false,
          depthWrite: false,
          depthTest: false,
          stencilWrite: true,
          stencilFunc: AlwaysStencilFunc,
          stencilFail: operation,
          stencilZFail: operation,
          stencilZPass: operation,
        }),
      );
      counter.renderOrder = order;
      this.#tooth.add(counter);
    }
    const cap = new Mesh(
      new PlaneGeometry(120, 120),
      new MeshBasicMaterial({
        side: DoubleSide,
        stencilWrite: true,
        stencilRef: 0,
        stencilFunc: NotEqualStencilFunc,
        stencilFail: ReplaceStencilOp,
        stencilZFail: ReplaceStencilOp,
        stencilZPass: ReplaceStencilOp,
      }),
    );
    cap.renderOrder = order + 0.5;
    cap.onAfterRender = (renderer) => renderer.clearStencil();
    this.#tooth.add(cap);
    this.#caps.push(cap);
    this.#painted.push({ medium: shape.medium, materials: [body.material, cap.material] });
  }

  /** Looks at the face of a cut, a little from the side. */
  face(axis: CutAxis): void {
    const [around, above] = { y: [-0.45, 0.35], x: [1.15, 0.35], z: [-0.3, 1.15] }[axis] as [number, number];
    this.#turned = { ...this.#turned, around, above };
  }

  /** Leaves away what lies beyond a plane square to an axis of the tooth [mm]. */
  setCut(axis: CutAxis, at_mm: number): void {
    const same = axis === this.#cutAt.axis && at_mm === this.#cutAt.at_mm;
    this.#cutAt = { axis, at_mm };
    const normal = { x: upright([-1, 0, 0]), y: upright([0, -1, 0]), z: upright([0, 0, 1]) }[axis];
    const point = upright(axis === "x" ? [at_mm, 0, 0] : axis === "y" ? [0, at_mm, 0] : [0, 0, at_mm]);
    this.#cut.setFromNormalAndCoplanarPoint(normal, point);
    for (const cap of this.#caps) {
      cap.position.copy(this.#cut.projectPoint(this.#middle, new Vector3()));
      cap.quaternion.copy(new Quaternion().setFromUnitVectors(new Vector3(0, 0, 1), normal));
    }
    if (!same) this.#drawLines();
  }

  #drawLines(): void {
    const { axis, at_mm } = this.#cutAt;
    const pieces = this.#shapes.flatMap((one) => cutOf(one, axes[axis], at_mm));
    const points: Vector3[] = [];
    for (let i = 0; i < pieces.length; i += 3)
      points.push(upright([pieces[i] ?? 0, pieces[i + 1] ?? 0, pieces[i + 2] ?? 0]));
    this.#lines.geometry.dispose();
    this.#lines.geometry = new BufferGeometry().setFromPoints(points);
    // Before the filled faces by a hair.
    this.#lines.position.copy(this.#cut.normal).multiplyScalar(-0.03);
  }

  /** The tip's face and body, and its beam down to the floor. */
  setTip(tip: Tip | undefined): void {
    this.#tip.hold(tip);
  }

  /** Places that must cure, seen through what lies before them. */
  setDots(dots: readonly Dot[]): void {
    while (this.#dots.children.length < 2 * dots.length) this.#dots.add(...this.#newDot());
    for (const [i, child] of this.#dots.children.entries()) {
      const dot = dots[Math.floor(i / 2)];
      child.visible = dot !== undefined;
      if (!dot) continue;
      child.position.copy(upright(dot.at));
      if (i % 2 === 1) ((child as Mesh).material as MeshBasicMaterial).color.set(dot.colour);
    }
  }

  /** A ball in ink, and one over it in the place's colour. */
  #newDot(): Mesh[] {
    const over = new MeshBasicMaterial({ depthTest: false, transparent: true });
    return [
      { radius: 0.34, material: this.#rim, order: 2000 },
      { radius: 0.26, material: over, order: 2001 },
    ].map(({ radius, material, order }) => {
      const ball = new Mesh(this.#ball, material);
      ball.scale.setScalar(radius);
      ball.renderOrder = order;
      return ball;
    });
  }

  /** Turns by so many radians, and comes nearer by a factor. */
  turn(around: number, above: number, nearer = 1): void {
    this.#turned.around += around;
    this.#turned.above = Math.min(1.5, Math.max(-1.2, this.#turned.above + above));
    this.#turned.near = Math.min(4, Math.max(0.5, this.#turned.near * nearer));
  }

  /** How much a direction of the tooth leads to the eye [1], or, where negative, away from it. */
  towards(direction: Vec): number {
    return upright(direction).normalize().dot(this.#camera.getWorldDirection(new Vector3()).negate());
  }

  /** Where a place of the tooth is on the picture, as shares of its width and height. */
  shown(point: Vec): [number, number] {
    const at = upright(point).project(this.#camera);
    return [(at.x + 1) / 2, (1 - at.y) / 2];
  }

  /** Draws, and comes back when it is drawn: who asks can then tell what it costs. */
  draw(width: number, height: number): void {
    const { around, above, near } = this.#turned;
    this.#renderer.setPixelRatio(Math.min(2, devicePixelRatio));
    this.#renderer.setSize(width, height, false);
    this.#camera.aspect = width / height;
    // So far that tooth and tip fit: the tip stands above, so the picture's middle is a little over the tooth's.
    const target = this.#middle.clone().add(new Vector3(0, 0.35 * this.#radius, 0));
    const far = (3.9 * this.#radius) / near / Math.min(1, this.#camera.aspect * 0.95);
    this.#camera.position
      .set(Math.sin(around) * Math.cos(above), Math.sin(above), Math.cos(around) * Math.cos(above))
      .multiplyScalar(far)
      .add(target);
    this.#camera.lookAt(target);
    this.#camera.updateProjectionMatrix();
    this.#camera.updateMatrixWorld();
    this.#renderer.render(this.#scene, this.#camera);
    // A point read back waits for the picture. Without a graphics card it takes tenths of a second, which else would
    // hold up whatever the page does next.
    const gl = this.#renderer.getContext();
    gl.readPixels(0, 0, 1, 1, gl.RGBA, gl.UNSIGNED_BYTE, new Uint8Array(4));
  }

  dispose(): void {
    for (const group of [this.#tooth, this.#dots]) empty(group);
    this.#tip.dispose();
    for (const one of [this.#lines, { geometry: this.#ball, material: this.#rim }]) {
      one.geometry.dispose();
      one.material.dispose();
    }
    this.#renderer.dispose();
    this.canvas.width = 0;
  }
}

function geometryOf(shape: Shape): BufferGeometry {
  const geometry = new BufferGeometry();
  const points = new Float32Array(shape.positions.length);
  for (let i = 0; i < points.length; i += 3) {
    points[i] = shape.positions[i] ?? 0;
    points[i + 1] = -(shape.positions[i + 2] ?? 0);
    points[i + 2] = shape.positions[i + 1] ?? 0;
  }
  geometry.setAttribute("position", new BufferAttribute(points, 3));
  geometry.setIndex(new BufferAttribute(shape.indices, 1));
  geometry.computeVertexNormals();
  return geometry;
}

/** Gives back what a group holds on the graphics card. */
function empty(group: Group): void {
  for (const child of [...group.children]) {
    group.remove(child);
    if (child instanceof Mesh) {
      child.geometry.dispose();
      child.material.dispose();
    }
  }
}
