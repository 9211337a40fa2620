// The forms in which what is on record of a light is corrected.

import type { Doc } from "../api/documents";
import { purposes } from "../check/check";
import type { Problem } from "../lib/api";
import { type FieldSpec, typedOf, valueFrom } from "../setup/form";
import { choices, type Kept } from "../setup/records";
import { deeds, type FleetLight, lends } from "./fleet";

const nameOf = (record: Kept["record"]): string => String(record.name ?? "");

/** Of a reading; who took it and what was told then stay as they were. */
export function readingFields(
  light: Pick<FleetLight, "tips" | "series" | "apart">,
  radiometers: readonly Kept[],
  barriers: readonly Kept[],
): readonly FieldSpec[] {
  const modes = [...new Set([...light.series, ...light.apart].map((one) => one.mode))];
  return [
    { name: "shown_mw_cm2", label: "It showed", type: "number", unit: "mW/cm²", required: true },
    { name: "taken_at", label: "Taken", type: "moment", required: true },
    {
      name: "tip",
      label: "Tip",
      type: "choice",
      required: true,
      options: light.tips.map((one) => ({ value: one.id, label: one.name })),
    },
    {
      name: "radiometer",
      label: "Radiometer",
      type: "choice",
      required: true,
      options: choices(radiometers, nameOf),
    },
    { name: "mode", label: "Mode", type: "text", required: true, offered: modes },
    { name: "purpose", label: "What it was taken for", type: "choice", required: true, options: purposes },
    { name: "battery", label: "Battery", type: "share" },
    { name: "second_of_press", label: "Second of the press", type: "number", unit: "s" },
    { name: "tip_clean", label: "The tip was clean", type: "yes" },
    { name: "barrier_on", label: "A barrier was on", type: "yes" },
    ...(barriers.length === 0
      ? []
      : [
          {
            name: "barrier",
            label: "Which barrier",
            type: "choice",
            options: choices(barriers, nameOf),
          } as const,
        ]),
    { name: "note", label: "Note", type: "long" },
  ];
}

export const tipFields: readonly FieldSpec[] = [
  { name: "name", label: "Name", type: "text", required: true },
  { name: "diameter_mm", label: "Optical diameter", type: "number", unit: "mm", required: true },
];

const when: FieldSpec = { name: "at", label: "When", type: "moment", required: true };

/** Of what was done to a light, or happened to it; who told it stays as it was. */
export function servicingFields(rooms: readonly { value: number; label: string }[]): readonly FieldSpec[] {
  return [
    { name: "what", label: "What was done, or happened", type: "choice", required: true, options: deeds },
    when,
    ...(rooms.length === 0
      ? []
      : [
          {
            name: "room",
            label: "Room that it was lent to, or came back from",
            type: "choice",
            options: rooms,
          } as const,
        ]),
    { name: "note", label: "Note", type: "long" },
  ];
}

/** An instant as its field has it, by this device's clock. */
export const momentText = (at: Date): string => typedOf(when, at.toISOString());

/** What stands in the form of a note; `at` is empty where it is now. */
export interface Note {
  light: number;
  person: number;
  deed: string;
  room: string;
  note: string;
  at: string;
}

/** The record of it, or what is wrong with its time. A room belongs to what was lent or came back only. */
export function servicingOf(
  typed: Note,
  now: Date,
): (Omit<Doc<"servicing">, "what"> & { what: string }) | Problem {
  const at = typed.at === "" ? now.toISOString() : valueFrom(when, typed.at);
  if (typeof at === "object" && at !== null) return at;
  return {
    light: typed.light,
    at: String(at),
    told_by: typed.person,
    what: typed.deed,
    ...(lends(typed.deed) && typed.room !== "" ? { room: Number(typed.room) } : {}),
    note: typed.note.trim() || null,
  };
}
