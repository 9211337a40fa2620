// Edits of a case beside its schedule: tooth, cavity, layers, matrix, light. Each gives a new document.
import {
  type CaseDocument,
  type CavityKind,
  type Choices,
  type Exposure,
  type Increment,
  type Layering,
  withValue,
} from "./case";
import { notationOf, numberIn } from "./tooth";

/** The parts of a cavity in words, in the order in which they are told. */
export const cavityParts: readonly { key: string; label: string }[] = [
  { key: "occlusal", label: "Occlusal part" },
  { key: "mesial", label: "Mesial box" },
  { key: "distal", label: "Distal box" },
  { key: "front", label: "Cavity of the front tooth" },
];

const labels: Record<string, string> = {
  floor_below_cusps_mm: "floor below the cusps",
  width_mm: "width",
  length_mm: "length",
  axial_depth_mm: "depth to the axial wall",
  roof_below_edge_mm: "roof below the edge",
  floor_below_edge_mm: "floor below the edge",
  labial_wall_mm: "labial wall left",
  standoff_sd_mm: "hand: gap, give or take",
  tilt_sd_deg: "hand: tilt, give or take",
  wander_sd_mm: "hand: aim, give or take",
};

/** A key of the case file in words: "axial_depth_mm" -> ["depth to the axial wall", "mm"]. */
export function wordsOf(key: string): { label: string; unit: string } {
  const unit = key.endsWith("_mm") ? "mm" : key.endsWith("_deg") ? "°" : "";
  const bare = unit === "" ? key : key.replace(/_(mm|deg)$/, "");
  return { label: labels[key] ?? bare.replaceAll("_", " "), unit };
}

export function setCavitySize(document: CaseDocument, part: string, key: string, mm: number): CaseDocument {
  const sizes = { ...document.cavity[part], [key]: mm };
  return { ...document, cavity: { ...document.cavity, [part]: sizes } };
}

/** Which of the kinds that a tooth can take a cavity is, by its parts. */
export function kindOf(cavity: CaseDocument["cavity"], kinds: readonly CavityKind[]): CavityKind | undefined {
  const parts = (of: CaseDocument["cavity"]): string => {
    const side = of.front?.side;
    return [...Object.keys(of).sort(), side ?? ""].join(" ");
  };
  return kinds.find((one) => parts(one.cavity) === parts(cavity));
}

/**
 * Cuts another kind of cavity, filled anew from its floor. All of it is lit from occlusal, in contact, once for each
 * floor in each state, as long as the last exposure was; an open front tooth from lingual too. A box has a band.
 */
export function setKind(document: CaseDocument, kind: CavityKind): CaseDocument {
  const { mesial, distal, occlusal, front } = kind.cavity;
  const aims = [mesial && "mesial box floor", distal && "distal box floor", front && "front"].filter(
    (aim) => aim !== undefined,
  );
  if (aims.length === 0 && occlusal) aims.push("occlusal");
  const states = ["adhesive bare", ...kind.increment.map((_, i) => `increment ${i + 1} placed`)];
  const last = document.exposure.at(-1);
  const press: Omit<Exposure, "state" | "aim"> = {
    from: front ? "lingual" : "occlusal",
    tilt_deg: 0,
    standoff_mm: 0,
    seconds: last?.seconds ?? 20,
    ...(last?.mode === undefined ? {} : { mode: last.mode }),
  };
  const exposure = states.flatMap((state) => aims.map((aim) => ({ state, aim, ...press })));
  const { matrix, ...rest } = document;
  const next = { ...rest, cavity: kind.cavity, increment: kind.increment, exposure };
  if (!mesial && !distal) return next;
  const room =
    (mesial !== undefined && document.tooth.mesial_neighbour === true) ||
    (distal !== undefined && document.tooth.distal_neighbour === true);
  const band = matrix ?? { kind: "metal" };
  return { ...next, matrix: { ...band, wedge: (band.wedge ?? false) && room } };
}

/** Lays an increment in another way; in bulk it has no thickness of its own, else it needs one. */
export function setLayering(document: CaseDocument, index: number, layering: string): CaseDocument {
  return mapIncrement(document, index, ({ thickness_mm, ...rest }) =>
    layering === "bulk" ? { ...rest, layering } : { ...rest, layering, thickness_mm: thickness_mm ?? 2 },
  );
}

export function setThickness(document: CaseDocument, index: number, mm: number): CaseDocument {
  return mapIncrement(document, index, (one) => ({ ...one, thickness_mm: mm }));
}

/** One more increment on top, like the last; the exposures keep their states. */
export function addIncrement(document: CaseDocument): CaseDocument {
  const last = document.increment.at(-1) ?? { layering: "horizontal", thickness_mm: 2 };
  return { ...document, increment: [...document.increment, { ...last }] };
}

/** Takes the last increment away; its exposures go with the state that they were given in. */
export function removeIncrement(document: CaseDocument): CaseDocument {
  if (document.increment.length < 2) return document;
  const gone = `increment ${document.increment.length} placed`;
  const exposure = document.exposure.filter((one) => one.state !== gone);
  if (exposure.length === 0) return document;
  return { ...document, increment: document.increment.slice(0, -1), exposure };
}

/** A band of that kind, or none: then no wedge has a place, and no state comes after it is off. */
export function setMatrix(document: CaseDocument, kind: string): CaseDocument {
  if (kind !== "none") return { ...document, matrix: { ...document.matrix, kind } };
  const { matrix: _gone, ...rest } = document;
  const last = `increment ${document.increment.length} placed`;
  return {
    ...rest,
    exposure: rest.exposure.map((one) => (one.state.includes("band off") ? { ...one, state: last } : one)),
  };
}

/** Another light: its own first mode, for it may not have the old one. */
export function setLight(document: CaseDocument, file: string): CaseDocument {
  const exposure = document.exposure.map(({ mode: _gone, ...rest }) => rest);
  return { ...document, light: { ...document.light, file }, exposure };
}

/** Today's output over the light's stated one [1]. */
export function setOutput(document: CaseDocument, share: number): CaseDocument {
  return {
    ...document,
    light: { ...document.light, output_share: withValue(document.light.output_share, share) },
  };
}

/** A barrier by its name; what was measured of the last one goes with it. */
export function setBarrier(document: CaseDocument, barrier: string): CaseDocument {
  const { barrier_pass: _gone, ...light } = document.light;
  return { ...document, light: { ...light, barrier } };
}

/** A barrier of the practice's own, with the share that was measured of it. */
export interface OwnBarrier {
  readonly name: string;
  readonly pass: number;
  readonly pass_sd: number | null;
  readonly source: string;
}

/** What a case says of where an own barrier's share comes from: its name tells it apart. */
const sourceOf = ({ name, source }: OwnBarrier): string => (source === "" ? name : `${name}: ${source}`);

/** One of the practice's own barriers, as it was measured; it takes the place of one of the reference. */
export function setOwnBarrier(document: CaseDocument, own: OwnBarrier): CaseDocument {
  const { barrier: _gone, ...light } = document.light;
  const barrier_pass = {
    value: own.pass,
    ...(own.pass_sd ? { sd: own.pass_sd } : {}),
    kind: "derived",
    source: sourceOf(own),
  };
  return { ...document, light: { ...light, barrier_pass } };
}

/** The own barrier that a case counts on; undefined where it is another, or was measured anew since. */
export function ownBarrierOf<Own extends OwnBarrier>(
  document: CaseDocument,
  all: readonly Own[],
): Own | undefined {
  const pass = document.light.barrier_pass;
  if (typeof pass !== "object") return undefined;
  return all.find((one) => one.pass === pass.value && sourceOf(one) === pass.source);
}

/**
 * Another tooth, by its ISO 3950 number, said in the notation of the case; with a cavity that it can take, where it
 * cannot take the old one.
 */
export function setTooth(
  document: CaseDocument,
  iso: number,
  kinds: readonly CavityKind[] = [],
): CaseDocument {
  const number = numberIn(notationOf(document.tooth), iso);
  const there = { ...document, tooth: { ...document.tooth, number } };
  const first = kinds[0];
  return kindOf(document.cavity, kinds) || !first ? there : setKind(there, first);
}

/** What a hand differs by, as the keys of a case file. */
export const handKeys = ["standoff_sd_mm", "tilt_sd_deg", "wander_sd_mm"] as const;

export function setHand(document: CaseDocument, key: string, value: number): CaseDocument {
  return { ...document, hand: { ...document.hand, [key]: withValue(document.hand?.[key], value) } };
}

export const layerings: readonly { value: Layering; label: string }[] = [
  { value: "horizontal", label: "horizontal" },
  { value: "oblique buccal", label: "oblique, buccal" },
  { value: "oblique lingual", label: "oblique, lingual" },
  { value: "bulk", label: "bulk, to the top" },
];

function mapIncrement(
  document: CaseDocument,
  index: number,
  edit: (one: Increment) => Increment,
): CaseDocument {
  return { ...document, increment: document.increment.map((one, i) => (i === index ? edit(one) : one)) };
}

/**
 * A case to begin with: a lower molar with the first kind of cavity that it can take, of what the practice has first.
 * Throws where it has no light, no paste or no adhesive.
 */
export function newCase(choices: Choices): CaseDocument {
  const light = choices.lights[0];
  const paste = choices.materials.find((one) => one.class !== "adhesive");
  const adhesive = choices.materials.find((one) => one.class === "adhesive");
  const tooth =
    choices.teeth.find((one) => one.number === 36 && one.cavities.length > 0) ??
    choices.teeth.find((one) => one.cavities.length > 0);
  const kind = tooth?.cavities[0];
  if (!light || !paste || !adhesive || !tooth || !kind)
    throw new Error("A case needs a light, a paste and an adhesive: their files belong in the data folder.");
  const buttons = light.modes[0]?.buttons_s ?? [];
  const seconds = buttons.includes(20) ? 20 : Math.max(0, ...buttons) || 20;
  const cut = setKind(
    {
      case: { name: "new case", kind: "from memory", source: "" },
      tooth: { number: tooth.number, mesial_neighbour: true, distal_neighbour: true },
      cavity: {},
      adhesive: { material: adhesive.file, thickness_mm: 0.05 },
      paste: { material: paste.file },
      increment: [],
      light: { file: light.file },
      exposure: [],
    },
    kind,
  );
  return { ...cut, exposure: cut.exposure.map((one) => ({ ...one, seconds })) };
}
