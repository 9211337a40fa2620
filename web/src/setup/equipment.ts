// The forms of lights, radiometers, their certificates, and barriers.

import type { FieldSpec, Fields } from "./form";

export const lightFields = (rooms: readonly { value: number; label: string }[]): readonly FieldSpec[] => [
  {
    name: "name",
    label: "Name",
    type: "text",
    required: true,
    hint: "What you call it: it stands on its label.",
  },
  { name: "serial", label: "Serial number", type: "text", required: true },
  { name: "room", label: "Room", type: "choice", required: true, options: rooms },
  {
    name: "claimed_mw_cm2",
    label: "Output that its maker claims",
    type: "number",
    unit: "mW/cm²",
    hint: "Radiant exitance, from its instructions.",
  },
  {
    name: "check_mode",
    label: "Mode in which it is checked",
    type: "text",
    hint: "Readings in different modes do not compare.",
  },
  { name: "battery", label: "Battery", type: "text", hint: "Its kind; empty: on a cord." },
  {
    name: "emits_violet",
    label: "Emits violet too",
    type: "choice",
    options: [
      { value: true, label: "yes" },
      { value: false, label: "no, blue alone" },
    ],
    nothing: "not known",
    hint: "Besides blue, below some 420 nm: a radiometer for blue alone shows too little of it.",
  },
  {
    name: "claim_measured",
    label: "Who says what it gives",
    type: "choice",
    options: [
      { value: false, label: "its maker claims it" },
      { value: true, label: "a laboratory measured it" },
    ],
    nothing: "not said: taken for its maker's",
    hint: "A laboratory's number is for this very light, and is believed more than a claim.",
  },
  {
    name: "approval_number",
    label: "National approval, its number",
    type: "text",
    hint: "A light without one on file is not accepted for use.",
  },
  { name: "approved_by", label: "Approved by", type: "text", hint: "The body that issued it." },
  { name: "bought_in", label: "Bought in", type: "text", hint: "The market that it was made for." },
  { name: "warranty_until", label: "Warranty until", type: "day" },
  {
    name: "file",
    label: "Its file, for planning",
    type: "text",
    hint: "With its spectrum and beam, in the folder of lights.",
  },
];

export const radiometerFields: readonly FieldSpec[] = [
  { name: "name", label: "Name", type: "text", required: true },
  { name: "serial", label: "Serial number", type: "text", required: true },
  {
    name: "aperture_mm",
    label: "Aperture",
    type: "number",
    unit: "mm",
    hint: "A tip broader than it is not measured whole.",
  },
  { name: "certificate_until", label: "Certificate until", type: "day" },
  {
    name: "spectral_class",
    label: "Wavelengths that it answers to",
    type: "choice",
    options: [
      { value: "blue", label: "blue" },
      { value: "broad", label: "violet and blue" },
    ],
    nothing: "not known",
    hint: "As its maker says. About 400 to 500 nm is blue.",
  },
];

export const certificateFields: readonly FieldSpec[] = [
  { name: "number", label: "Its number", type: "text", required: true },
  { name: "issued_by", label: "Issued by", type: "text", required: true },
  { name: "calibrated_at", label: "Calibrated on", type: "day", required: true },
  {
    name: "valid_until",
    label: "Valid until",
    type: "day",
    required: true,
    hint: "Readings after that day count as good to about 20 %.",
  },
  {
    name: "expanded_uncertainty",
    label: "Expanded uncertainty (k = 2)",
    type: "share",
    hint: "Relative, as it stands on the certificate.",
  },
];

export const barrierFields: readonly FieldSpec[] = [
  { name: "name", label: "Name", type: "text", required: true },
  {
    name: "pass",
    label: "Lets through",
    type: "share",
    required: true,
    hint: "Reading with it divided by the reading without it, same tip, one after the other.",
  },
  { name: "pass_sd", label: "Scatter of that (one standard deviation)", type: "share" },
  {
    name: "source",
    label: "Where that comes from",
    type: "long",
    required: true,
    hint: "“Measured here, on …”, or its data sheet.",
  },
];

/** What a light's record itself says of its use; its page says more. */
export function lightState(record: Fields): string {
  if (record.withdrawn_at) return "withdrawn";
  if (record.accepted_at) return "accepted";
  return record.refused_because ? "refused" : "not accepted yet";
}
