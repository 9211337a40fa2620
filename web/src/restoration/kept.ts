// Edits of a case over a reload: kept in this tab of the browser, gone with it. A case holds nothing about a patient but
// two yes or no.
import type { CaseDocument } from "./case";

interface Kept {
  /** The file that was edited: edits of another one are of no use. */
  file: string;
  document: CaseDocument;
}

const nameOf = (id: string): string => `throughcure restoration ${id}`;

/** Keeps what became of a file, or forgets it where nothing did. */
export function keep(id: string, file: CaseDocument, document: CaseDocument): void {
  try {
    if (document === file) sessionStorage.removeItem(nameOf(id));
    else
      sessionStorage.setItem(
        nameOf(id),
        JSON.stringify({ file: JSON.stringify(file), document } satisfies Kept),
      );
  } catch {
    // A browser that keeps nothing: a reload then shows the file.
  }
}

/** What became of a file before the page was loaded again; undefined where nothing did, or the file is another by now. */
export function keptEdit(id: string, file: CaseDocument): CaseDocument | undefined {
  try {
    const kept = JSON.parse(sessionStorage.getItem(nameOf(id)) ?? "null") as Kept | null;
    return kept?.file === JSON.stringify(file) ? kept.document : undefined;
  } catch {
    return undefined;
  }
}
