// The list of a look-back, page by page: it may be very long.
import type { Doc } from "../api/documents";
import { get, Refused } from "../lib/api";
import type { InDoubt, LookBack, Sifted } from "./lookback";

/** What was read of it so far: the look-back as it stood at the first page. */
export interface Listed {
  one: LookBack;
  rows: readonly InDoubt[];
  /** Where the next page begins; null: nothing is left. */
  after: string | null;
}

/** Of a list on the screen; of one that is read to its end. */
export const a_page = 100;
const most_at_once = 1000;

const path = (id: number, rest: string, sifted: Sifted, limit: number, after?: string): string => {
  const query = new URLSearchParams({ limit: String(limit) });
  if (sifted !== "all") query.set("decision", sifted);
  if (after !== undefined) query.set("after", after);
  return `/api/look-backs/${id}${rest}?${query}`;
};

/** How often a list is begun anew whose ranking changes while it is read. */
const patience = 3;

/** The page after these; where the ranking has changed meanwhile, as many from the top as there would be then. */
export async function readOn(
  listed: Listed,
  sifted: Sifted,
  count = a_page,
  tries = patience,
): Promise<Listed> {
  if (listed.after === null) return listed;
  const limit = Math.min(count, most_at_once);
  try {
    const page = await get<Doc<"LookBackRows">>(
      path(listed.one.id, "/restorations", sifted, limit, listed.after),
    );
    const one = { ...listed.one, counts: page.counts };
    return { one, rows: [...listed.rows, ...page.restorations], after: page.after };
  } catch (error) {
    if (!(error instanceof Refused) || error.status !== 409 || tries === 0) throw error;
    return readFirst(listed.one.id, sifted, listed.rows.length + limit, tries - 1);
  }
}

/** The look-back with the `count` that are the most doubtful. */
export async function readFirst(
  id: number,
  sifted: Sifted,
  count = a_page,
  tries = patience,
): Promise<Listed> {
  const one = await get<LookBack>(path(id, "", sifted, Math.min(count, most_at_once)));
  let listed: Listed = { one, rows: one.restorations, after: one.after };
  for (let left = count - most_at_once; left > 0; left -= most_at_once) {
    listed = await readOn(listed, sifted, left, tries);
  }
  return listed;
}

/** All of them; `far` is told after each page. */
export async function readToTheEnd(
  from: Listed,
  sifted: Sifted,
  far: (read: number) => void,
): Promise<Listed> {
  let listed = from;
  while (listed.after !== null) {
    listed = await readOn(listed, sifted, most_at_once);
    far(listed.rows.length);
  }
  return listed;
}

/** The numbers of all that have no decision, without their rows being kept. */
export async function undecidedOf(id: number, far: (read: number) => void): Promise<number[]> {
  let page: Doc<"LookBackRows"> = await get<LookBack>(path(id, "", "undecided", most_at_once));
  const found = page.restorations.map((row) => row.id);
  while (page.after !== null) {
    far(found.length);
    page = await get<Doc<"LookBackRows">>(path(id, "/restorations", "undecided", most_at_once, page.after));
    found.push(...page.restorations.map((row) => row.id));
  }
  return found;
}
