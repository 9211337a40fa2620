// Recording what was planned and done: the practice's own lights and pastes, and what is sent of a case.
import type { Doc, One } from "../api/documents";
import { percent } from "../lib/numbers";
import type { FieldSpec, Option } from "../setup/form";
import { type CaseDocument, type Choices, type Known, numberOf } from "./case";
import { setLight } from "./form";
import { lightOptions, materialWords, operatorOptions, tipOptions } from "./unplanned";

/** GET /api/restoration-sheet. Of a light: what it gives today [mW/cm2], by its checks; null where it was never read. */
export type RestorationSheet = Doc<"RestorationSheet">;
export type SheetLight = One<RestorationSheet["lights"]>;

/** What POST /api/plan/record answers, and takes. */
export type Recorded = Doc<"RecordedRestoration">;
export type NewRestoration = Omit<Doc<"NewRestoration">, "document"> & { document: CaseDocument };

/** Half of what lies between 10 % and 90 % of a normal, in its standard deviations. */
const sdsTo90 = 1.2816;
const round = (value: number): number => Number(value.toPrecision(4));

/**
 * Today's output over what the light's file states, with how well it is known; undefined where it was never read. As a
 * standard deviation: the ends of 8 in 10 are no limits.
 */
export function outputOf(light: SheetLight, stated_mw_cm2: number, at: string): Known | undefined {
  if (!light.today || !(stated_mw_cm2 > 0)) return undefined;
  const { p10, p50, p90 } = light.today;
  return {
    value: round(p50 / stated_mw_cm2),
    sd: round((p90 - p10) / (2 * sdsTo90) / stated_mw_cm2),
    kind: "derived",
    source: `the checks of ${light.name}, as of ${at.slice(0, 10)}`,
  };
}

/** The case with this light as it is today. */
export function withLight(
  document: CaseDocument,
  light: SheetLight,
  choices: Choices | undefined,
  at: string,
): CaseDocument {
  if (light.file === null) return document;
  const changed = document.light.file === light.file ? document : setLight(document, light.file);
  const stated = choices?.lights.find((one) => one.file === light.file)?.exitance_mw_cm2;
  const output_share = stated === undefined ? undefined : outputOf(light, stated, at);
  const { output_share: _old, ...rest } = changed.light;
  return { ...changed, light: output_share ? { ...rest, output_share } : rest };
}

/** Whether the case counts on what its light gives today, as far as that is known. */
export function countsOnToday(
  document: CaseDocument,
  light: SheetLight,
  choices: Choices | undefined,
): boolean {
  const stated = choices?.lights.find((one) => one.file === light.file)?.exitance_mw_cm2;
  const today = stated === undefined ? undefined : outputOf(light, stated, "");
  if (!today) return true;
  const now = document.light.output_share;
  return typeof now === "object" && now.value === today.value && now.sd === today.sd;
}

/** "This case counts on what the file states, not on what Lamp 3 gives today."; "" where no light was read. */
export function notTodayWords(document: CaseDocument, lights: readonly SheetLight[]): string {
  const first = lights[0];
  if (!first) return "";
  const share = numberOf(document.light.output_share);
  const on =
    share === undefined || share === 1
      ? "what the file states"
      : `${Math.round(100 * share)}\u00a0% of what the file states`;
  const whose = lights.length === 1 ? first.name : "one of your lights";
  return `This case counts on ${on}, not on what ${whose} gives today.`;
}

/** The light that a new case begins with: the only one of its file that is here, if it was ever read. */
export function onlyLight(
  document: CaseDocument,
  sheet: RestorationSheet | undefined,
): SheetLight | undefined {
  const here = lightsFor(document, sheet).filter((one) => one.left_at === null);
  return here.length === 1 && here[0]?.today ? here[0] : undefined;
}

/** The practice's lights that the case may have been planned with. */
export function lightsFor(
  document: CaseDocument,
  sheet: RestorationSheet | undefined,
): readonly SheetLight[] {
  return sheet?.lights.filter((one) => one.file === document.light.file) ?? [];
}

/** "DO", from the parts of a cavity; of a front tooth its side. */
export function surfacesOf(cavity: CaseDocument["cavity"]): string {
  const letters = [cavity.mesial && "M", cavity.distal && "D", cavity.occlusal && "O"].filter(Boolean);
  if (letters.length === 3) return "MOD";
  const side = cavity.front?.side;
  if (typeof side === "string") letters.push(side.charAt(0).toUpperCase());
  return letters.join("");
}

/** A restoration as the records have it. */
export type Made = Doc<"restoration">;

/** GET /api/records/restoration/{id}/history */
export type MadeHistory = Doc<"History_restoration">;

/** The case that was kept with it; undefined where none was, or it is of a newer program. */
export function keptCase(made: Made): CaseDocument | undefined {
  if (typeof made.resolved_case !== "string") return undefined;
  const kept = JSON.parse(made.resolved_case) as { version?: number; document?: CaseDocument };
  if (kept.version === undefined) return kept as unknown as CaseDocument;
  return kept.version === 1 ? kept.document : undefined;
}

/** A barrier by what it lets through, as a record has it; what stands on record is among them. */
function barrierOptions(sheet: RestorationSheet, kept: number | null | undefined): readonly Option[] {
  const passes = new Set(sheet.barriers.map((one) => one.pass));
  if (typeof kept === "number") passes.add(kept);
  const names = (pass: number): string[] =>
    sheet.barriers.filter((one) => one.pass === pass).map((one) => one.name);
  return [...passes].map((pass) => ({
    value: pass,
    label: [...names(pass), `lets ${percent(pass)} through`].join(", "),
  }));
}

/**
 * What of a restoration on record is corrected; light, tip and operator among those that the records give this person.
 * Tooth, material and barrier of one with a case are the case's.
 */
export function madeFields(
  sheet: RestorationSheet | undefined,
  made?: Pick<Made, "placed_by" | "barrier_pass" | "resolved_case">,
): readonly FieldSpec[] {
  const lights = sheet?.lights ?? [];
  const ofLight: readonly FieldSpec[] = [
    {
      name: "light",
      label: "Light",
      type: "choice",
      required: true,
      hint: "It decides which look-back names this restoration.",
      options: sheet ? lightOptions(sheet) : [],
    },
    {
      name: "tip",
      label: "Tip",
      type: "choice",
      required: true,
      follows: "light",
      options: sheet ? tipOptions(sheet) : [],
    },
  ];
  const operator: readonly FieldSpec[] =
    sheet && made
      ? [
          {
            name: "placed_by",
            label: "Operator",
            type: "choice",
            required: true,
            options: operatorOptions(sheet, made.placed_by),
          },
        ]
      : [];
  const bare = made !== undefined && typeof made.resolved_case !== "string";
  const tooth: FieldSpec = {
    name: "tooth",
    label: "Tooth",
    type: "text",
    keys: "numeric",
    required: true,
    hint: "ISO 3950, two digits",
  };
  const ofBare: readonly FieldSpec[] = [
    {
      name: "material",
      label: "Material",
      type: "text",
      blank: true,
      offered: [...new Set(sheet?.materials.map(materialWords) ?? [])],
    },
    ...(sheet
      ? [
          {
            name: "barrier_pass",
            label: "Barrier",
            type: "choice",
            options: barrierOptions(sheet, made?.barrier_pass),
          } as const,
        ]
      : []),
  ];
  return [
    { name: "chart", label: "Chart number", type: "text", required: true },
    { name: "placed_at", label: "Placed", type: "moment", required: true },
    ...operator,
    ...(lights.length === 0 ? [] : ofLight),
    ...(bare ? [tooth] : []),
    { name: "surfaces", label: "Surfaces", type: "text", blank: true },
    ...(bare ? ofBare : []),
    { name: "lot", label: "Lot", type: "text", blank: true },
    { name: "note", label: "Note", type: "long" },
  ];
}

/** What is to be said where the case was planned with another light than the one that is on record now; else "". */
export function otherLightWords(made: Made, sheet: RestorationSheet | undefined): string {
  const planned = keptCase(made)?.light.file;
  const file = sheet?.lights.find((one) => one.id === made.light)?.file;
  if (!planned || !file || planned === file) return "";
  return `Its case was planned with another light (${planned}): what was worked out then holds for that one.`;
}

/** "Tooth 46, DO: the chance that it cures through was 98 in 100, as done." */
export function madeSentence(made: Made): string {
  const what = `Tooth ${made.tooth}${made.surfaces === "" ? "" : `, ${made.surfaces}`}`;
  if (typeof made.probability !== "number")
    return `${what}: recorded without a case, so nothing was worked out`;
  return `${what}: the chance that it cures through, as done, was ${inHundred(made.probability)}`;
}

/** What POST /api/restoration-search takes and gives. */
export type Search = Doc<"RestorationSearch">;
export type Found = Doc<"FoundRestorations">;

/** What was typed, as it is asked for: days are those of this device's clock, the last one included. */
export function searchOf(typed: { chart: string; tooth: string; from: string; to: string }): Search {
  const begin = (day: string, later: number): string => {
    const [year, month, of_month] = day.split("-").map(Number);
    return new Date(
      year ?? Number.NaN,
      (month ?? Number.NaN) - 1,
      (of_month ?? Number.NaN) + later,
    ).toISOString();
  };
  return {
    chart: typed.chart.trim(),
    ...(typed.tooth.trim() === "" ? {} : { tooth: typed.tooth.trim() }),
    ...(typed.from === "" ? {} : { from: begin(typed.from, 0) }),
    ...(typed.to === "" ? {} : { to: begin(typed.to, 1) }),
  };
}

/** "2 restorations of chart 4711 are on record." */
export function foundSentence(found: Found, chart: string): string {
  const count = found.restorations.length;
  if (count === 0) return `No restoration of chart ${chart} is on record here.`;
  if (found.more)
    return `More than ${count} restorations of chart ${chart} are on record: these are the newest.`;
  return `${count === 1 ? "One restoration" : `${count} restorations`} of chart ${chart} ${count === 1 ? "is" : "are"} on record.`;
}

/** As of a hundred such restorations; never all, never none. */
export function inHundred(probability: number): string {
  if (probability > 0.99) return "more than 99 in 100";
  if (probability < 0.01) return "less than 1 in 100";
  return `about ${Math.round(100 * probability)} in 100`;
}
