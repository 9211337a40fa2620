// Recording what was planned and done: the practice's own lights and pastes, and what is sent of a case.
import type { Doc, One } from "../api/documents";
import type { FieldSpec } from "../setup/form";
import type { CaseDocument, Choices, Known } from "./case";
import { setLight } from "./form";

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

/** What of a restoration on record is corrected; the light and its tip among those that the records give this person. */
export function madeFields(sheet: RestorationSheet | undefined): readonly FieldSpec[] {
  const lights = sheet?.lights ?? [];
  const ofLight: readonly FieldSpec[] = [
    {
      name: "light",
      label: "Light",
      type: "choice",
      required: true,
      hint: "It decides which look-back names this restoration.",
      options: lights.map((one) => ({ value: one.id, label: `${one.name}, ${one.room_name}` })),
    },
    {
      name: "tip",
      label: "Tip",
      type: "choice",
      required: true,
      follows: "light",
      options: lights.flatMap((one) =>
        one.tips.map((tip) => ({ value: tip.id, label: tip.name, of: one.id })),
      ),
    },
  ];
  return [
    { name: "chart", label: "Chart number", type: "text", required: true },
    { name: "placed_at", label: "Placed", type: "moment", required: true },
    ...(lights.length === 0 ? [] : ofLight),
    { name: "surfaces", label: "Surfaces", type: "text", blank: true },
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
