// Records of any kind, as the server keeps them.

import { get, type Role } from "../lib/api";
import type { Fields } from "./form";

export interface Kept {
  id: number;
  revision: number;
  record: Fields;
}

/** All records of a kind, oldest first. */
export async function all(kind: string): Promise<Kept[]> {
  const out: Kept[] = [];
  const at_once = 1000;
  for (;;) {
    const path = `/api/records/${kind}?limit=${at_once}&offset=${out.length}`;
    const { records, more } = await get<{ records: Kept[]; more: boolean }>(path);
    out.push(...records);
    if (!more || records.length === 0) return out;
  }
}

/** Who may add a record of a kind, and who may correct one; the server says so too. */
export const rights: Readonly<Record<string, { add: Role; correct: Role }>> = {
  site: { add: "lead", correct: "lead" },
  room: { add: "lead", correct: "lead" },
  light: { add: "lead", correct: "lead" },
  tip: { add: "lead", correct: "lead" },
  radiometer: { add: "lead", correct: "lead" },
  certificate: { add: "lead", correct: "lead" },
  barrier: { add: "clinician", correct: "clinician" },
  restoration: { add: "clinician", correct: "clinician" },
  reading: { add: "assistant", correct: "clinician" },
  servicing: { add: "assistant", correct: "clinician" },
  material: { add: "clinician", correct: "clinician" },
  lot: { add: "assistant", correct: "clinician" },
  scrape: { add: "clinician", correct: "clinician" },
  disc: { add: "clinician", correct: "clinician" },
};

/** Records as choices of another one's form. */
export function choices(
  rows: readonly Kept[],
  label: (record: Fields) => string,
): { value: number; label: string }[] {
  return rows.map((row) => ({ value: row.id, label: label(row.record) }));
}

/** The record as it has just been typed and kept, so that nothing has to be asked for again. */
export async function one(kind: string, id: number): Promise<Kept> {
  return get<Kept>(`/api/records/${kind}/${id}`);
}
