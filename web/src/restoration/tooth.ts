// Tooth numbers: ISO 3950 (quadrant, then place) and Universal (1 upper right third molar to 32 lower right third molar).
import type { CaseDocument } from "./case";

export type Notation = "ISO 3950" | "Universal";

/** The ISO 3950 number of a Universal one. */
function isoOf(universal: number): number {
  const quadrant = Math.ceil(universal / 8);
  const place = ((universal - 1) % 8) + 1;
  return 10 * quadrant + (quadrant % 2 === 1 ? 9 - place : place);
}

/** An ISO 3950 number as it is said in a notation. */
export function numberIn(notation: Notation, iso: number): number {
  const [quadrant, place] = [Math.floor(iso / 10), iso % 10];
  return notation === "ISO 3950" ? iso : 8 * (quadrant - 1) + (quadrant % 2 === 1 ? 9 - place : place);
}

/** The notation of a case; ISO 3950 where none is named. */
export function notationOf(tooth: CaseDocument["tooth"]): Notation {
  return tooth.notation === "Universal" ? "Universal" : "ISO 3950";
}

/** The ISO 3950 number of a case's tooth, whatever notation it is in. */
export function isoNumber(tooth: CaseDocument["tooth"]): number {
  return notationOf(tooth) === "Universal" ? isoOf(tooth.number) : tooth.number;
}

/** The same tooth, its number in another notation. */
export function setNotation(document: CaseDocument, notation: Notation): CaseDocument {
  const number = numberIn(notation, isoNumber(document.tooth));
  return { ...document, tooth: { ...document.tooth, notation, number } };
}
