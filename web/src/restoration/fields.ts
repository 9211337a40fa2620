// What the page calls the fields of a case, by the keys of the case file; and where a problem that names a key belongs.
import type { CaseDocument } from "./case";
import { cavityParts, wordsOf } from "./form";

/** Of the fields that stand once on the form. */
const labels: Record<string, { label: string; unit?: string }> = {
  "tooth.number": { label: "Number" },
  "tooth.notation": { label: "Tooth numbers" },
  "tooth.mesial_neighbour": { label: "Mesial neighbour" },
  "tooth.distal_neighbour": { label: "Distal neighbour" },
  "tooth.dam": { label: "Rubber dam" },
  cavity: { label: "Kind; another one is filled and lit anew" },
  "paste.material": { label: "Paste" },
  "adhesive.material": { label: "Adhesive" },
  "temperature.tooth_c": { label: "Tooth's temperature", unit: "°C" },
  "matrix.kind": { label: "Band" },
  "matrix.wedge": { label: "Wedge" },
  "light.file": { label: "Light" },
  "light.barrier": { label: "Barrier" },
  "light.output_share": { label: "Output today, of what is stated", unit: "%" },
  "patient.photosensitive": { label: "Photosensitive, by illness or medicine" },
  "patient.no_natural_lens": { label: "No natural lens" },
};

/** What the label of a field is too short for, said by itself. */
const names: Record<string, string> = {
  tooth: "Tooth",
  "tooth.number": "Tooth, number",
  cavity: "Cavity",
  adhesive: "Adhesive",
  matrix: "Band",
  increment: "Increments",
  exposure: "Exposures",
  "light.barrier_pass": "Barrier",
  "exposure.state": "when",
  "exposure.aim": "aimed at",
  "exposure.from": "the tip comes from",
  "exposure.tilt_to": "the tip leans to",
  "exposure.pause_before_s": "pause before it",
  "exposure.standoff_mm": "standoff",
  "exposure.tilt_deg": "tilt",
};

/** The label of a field on the form, and its unit. */
export function labelOf(key: string): { label: string; unit: string } {
  const known = labels[key];
  if (known) return { label: known.label, unit: known.unit ?? "" };
  const [, number, of] = /^increment\[(\d+)\]\.(\w+)$/.exec(key) ?? [];
  const words = wordsOf(key.split(".").at(-1) ?? key);
  if (number === undefined) return words;
  return of === "layering"
    ? { label: `Increment ${number}`, unit: "" }
    : { label: `Increment ${number}, ${words.label}`, unit: words.unit };
}

/** A field as a sentence names it: its label, and what it is of where the label does not say. */
export function nameOf(key: string): string {
  const known = names[key];
  if (known !== undefined) return known;
  if (key in labels || /^increment\[\d+\]\./.test(key)) return upper(labelOf(key).label);
  const [, group, number, rest] = /^(\w+)(?:\[(\d+)\])?(?:\.(.*))?$/.exec(key) ?? [];
  if (group === undefined) return key;
  if (number !== undefined) {
    const one = `${upper(group)} ${number}`;
    return rest === undefined ? one : `${one}, ${names[`${group}.${rest}`] ?? labelOf(rest).label}`;
  }
  if (rest === undefined) return upper(group.replaceAll("_", " "));
  const [part = "", inside] = rest.split(".");
  const cut = group === "cavity" ? cavityParts.find((one) => one.key === part)?.label : undefined;
  if (cut !== undefined) return inside === undefined ? cut : `${cut}, ${labelOf(inside).label}`;
  const { label } = labelOf(rest);
  return group === "hand" ? upper(label) : `${names[group] ?? upper(group)}, ${label}`;
}

/** A problem as the page tells it. */
export interface Problem {
  /** Of the case file; empty where the server names none. */
  key: string;
  /** The field's name; empty where the server names none. */
  name: string;
  /** What is wrong and what to do, in the server's words. */
  words: string;
}

/** Takes a sentence of the server apart: "increment[2].thickness_mm: -1 mm is no size for it. Give ..." */
export function problemOf(sentence: string): Problem {
  const [, key, words] =
    /^(?:restoration: )?([a-z_]+(?:\[\d+\])?(?:\.[a-z_]+(?:\[\d+\])?)*): (.+)$/.exec(sentence) ?? [];
  return key === undefined || words === undefined
    ? { key: "", name: "", words: sentence }
    : { key, name: nameOf(key), words };
}

/** The field of the form, or the row of the schedule, at which a problem with a key is said; undefined for none. */
export function placeOf(key: string, document: CaseDocument): string | undefined {
  const exposure = /^exposure\[\d+\]/.exec(key)?.[0];
  if (exposure !== undefined) return exposure;
  const [, number, of] = /^increment(?:\[(\d+)\](?:\.(\w+))?)?/.exec(key) ?? [];
  if (number !== undefined) {
    const bulk = document.increment[Number(number) - 1]?.layering === "bulk";
    return `increment[${number}].${of === "thickness_mm" && !bulk ? of : "layering"}`;
  }
  if (key === "increment") return `increment[${document.increment.length}].layering`;
  const [group = "", part = "", inside] = key.split(".");
  if (group === "cavity")
    return inside !== undefined && document.cavity[part]?.[inside] !== undefined ? key : group;
  if (key in labels || group === "hand") return key;
  if (key === "light.barrier_pass") return "light.barrier";
  return {
    tooth: "tooth.number",
    paste: "paste.material",
    adhesive: "adhesive.material",
    temperature: "temperature.tooth_c",
    matrix: "matrix.kind",
    light: "light.file",
  }[group];
}

/** What is said at each field. */
export function saidAt(problems: readonly Problem[], document: CaseDocument): Map<string, string> {
  const said = new Map<string, string>();
  for (const { key, words } of problems) {
    const place = placeOf(key, document);
    if (place === undefined) continue;
    const before = said.get(place);
    said.set(place, before === undefined ? words : `${before} ${words}`);
  }
  return said;
}

/** The id that a field has in the page. */
export function idOf(key: string): string {
  return `case-${key.replaceAll(/\W+/g, "-")}`;
}

function upper(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}
