// Recording a restoration that was not planned: its fields, and what they are preset to.
import type { Doc } from "../api/documents";
import { date } from "../lib/dates";
import type { FieldSpec, Fields, Option } from "../setup/form";
import type { RestorationSheet, SheetLight } from "./record";

export type NewUnplanned = Doc<"NewUnplanned">;

/** "Lamp 3, Room 1"; of one that is elsewhere by now also since when. */
export function lightLabel({ name, room_name, left_at }: SheetLight): string {
  return `${name}, ${room_name}${left_at ? `, until ${date(left_at)}` : ""}`;
}

export const lightOptions = (sheet: RestorationSheet): readonly Option[] =>
  sheet.lights.map((one) => ({ value: one.id, label: lightLabel(one) }));

export const tipOptions = (sheet: RestorationSheet): readonly Option[] =>
  sheet.lights.flatMap((one) => one.tips.map((tip) => ({ value: tip.id, label: tip.name, of: one.id })));

/** Those who may place; one who stands on record already is among them. */
export const operatorOptions = (sheet: RestorationSheet, kept?: number): readonly Option[] =>
  sheet.people
    .filter((one) => one.places || one.id === kept)
    .map((one) => ({ value: one.id, label: one.name }));

/** "Universal paste, A3", as a record has it. */
export const materialWords = ({ name, shade }: { name: string; shade: string }): string =>
  shade === "" ? name : `${name}, ${shade}`;

/** In the order in which a hand goes through them; what is preset comes after what must be typed. */
export function unplannedFields(sheet: RestorationSheet): readonly FieldSpec[] {
  const choice = { type: "choice", required: true } as const;
  return [
    { name: "chart", label: "Chart number", type: "text", required: true },
    {
      name: "tooth",
      label: "Tooth",
      type: "text",
      keys: "numeric",
      required: true,
      hint: "ISO 3950, two digits",
    },
    { name: "surfaces", label: "Surfaces", type: "text", blank: true },
    {
      name: "lot",
      label: "Lot",
      type: "text",
      blank: true,
      offered: [...new Set(sheet.materials.flatMap((one) => one.lots.map((lot) => lot.number)))],
    },
    { name: "light", label: "Light", ...choice, options: lightOptions(sheet) },
    { name: "tip", label: "Tip", ...choice, follows: "light", options: tipOptions(sheet) },
    {
      name: "material",
      label: "Material",
      ...choice,
      options: sheet.materials.map((one) => ({ value: one.id, label: materialWords(one) })),
    },
    {
      name: "barrier",
      label: "Barrier",
      type: "choice",
      options: sheet.barriers.map((one) => ({ value: one.id, label: one.name })),
    },
    { name: "placed_by", label: "Operator", ...choice, options: operatorOptions(sheet) },
    { name: "placed_at", label: "Placed", type: "moment", hint: "Now, where it is left empty" },
    { name: "note", label: "Note", type: "long" },
  ];
}

/** What this device recorded with last. */
export interface Last {
  light?: number;
  tip?: number;
  material?: number;
  barrier?: number | null;
}

const only = <T>(list: readonly T[]): T | undefined => (list.length === 1 ? list[0] : undefined);

/** What a new one begins with: what was used last on this device, else what there is one of; and who records it. */
export function unplannedPreset(sheet: RestorationSheet, last: Last, person: number | undefined): Fields {
  const here = sheet.lights.filter((one) => one.left_at === null);
  const light = here.find((one) => one.id === last.light) ?? only(here);
  const tip = light?.tips.find((one) => one.id === last.tip) ?? only(light?.tips ?? []);
  const material = sheet.materials.find((one) => one.id === last.material) ?? only(sheet.materials);
  const barrier = sheet.barriers.find((one) => one.id === last.barrier);
  const places = sheet.people.find((one) => one.id === person && one.places);
  const all = {
    light: light?.id,
    tip: tip?.id,
    material: material?.id,
    barrier: barrier?.id,
    placed_by: places?.id,
  };
  return Object.fromEntries(
    Object.entries(all).flatMap(([key, id]) => (id === undefined ? [] : [[key, id]])),
  );
}

const place = "throughcure recorded with";

export function lastUsed(): Last {
  try {
    return (JSON.parse(localStorage.getItem(place) ?? "null") as Last | null) ?? {};
  } catch {
    return {};
  }
}

/** Nothing about a patient is kept. */
export function keepLast({ light, tip, material, barrier }: NewUnplanned): void {
  try {
    localStorage.setItem(place, JSON.stringify({ light, tip, material, barrier: barrier ?? null }));
  } catch {
    // A browser that keeps nothing: the next one is then chosen anew.
  }
}
