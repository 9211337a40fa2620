// The forms of materials, lots, scrape tests and discs.

import type { FieldSpec } from "./form";

interface Lists {
  materials: readonly { value: number; label: string }[];
  lots: readonly { value: number; label: string }[];
  lights: readonly { value: number; label: string }[];
  radiometers: readonly { value: number; label: string }[];
}

export const materialFields: readonly FieldSpec[] = [
  { name: "name", label: "Name", type: "text", required: true },
  { name: "shade", label: "Shade", type: "text", required: true },
  { name: "ifu_seconds", label: "Exposure by its instructions", type: "number", unit: "s" },
  { name: "ifu_increment_mm", label: "Thickest increment by its instructions", type: "number", unit: "mm" },
  { name: "file", label: "Its file, for planning", type: "text", hint: "In the folder of materials." },
];

export const lotFields: readonly FieldSpec[] = [
  { name: "number", label: "Lot number", type: "text", required: true },
  { name: "expires_at", label: "Expires on", type: "day" },
];

const what = (lists: Lists): readonly FieldSpec[] => [
  { name: "material", label: "Material", type: "choice", required: true, options: lists.materials },
  { name: "lot", label: "Lot", type: "choice", options: lists.lots },
  { name: "light", label: "Light", type: "choice", required: true, options: lists.lights },
  { name: "at", label: "When", type: "moment", required: true },
];

export const scrapeFields = (lists: Lists): readonly FieldSpec[] => [
  ...what(lists),
  { name: "seconds", label: "Exposure", type: "number", unit: "s", required: true },
  {
    name: "left_mm",
    label: "Length left",
    type: "number",
    unit: "mm",
    required: true,
    hint: "What stays hard after the soft resin is scraped away.",
  },
  { name: "mould_diameter_mm", label: "Mould, inside diameter", type: "number", unit: "mm", required: true },
  { name: "mould_of_metal", label: "The mould is of metal", type: "yes" },
];

export const discFields = (lists: Lists): readonly FieldSpec[] => [
  ...what(lists),
  { name: "radiometer", label: "Radiometer", type: "choice", required: true, options: lists.radiometers },
  { name: "thickness_mm", label: "Thickness of the disc", type: "number", unit: "mm", required: true },
  {
    name: "through_mw_cm2",
    label: "It shows through the disc",
    type: "number",
    unit: "mW/cm²",
    required: true,
  },
  { name: "bare_mw_cm2", label: "It shows without the disc", type: "number", unit: "mW/cm²", required: true },
];
