import { afterEach, describe, expect, it, vi } from "vitest";
import type { InDoubt, LookBack } from "./lookback";
import { readFirst, readOn, readToTheEnd, undecidedOf } from "./pages";

/** A server of a ranking that may change, as the program answers it. */
function serve(count: number) {
  const state = { mark: "a", count, asked: [] as string[] };
  const page = (url: URL) => {
    const limit = Number(url.searchParams.get("limit"));
    const [mark, from] = (url.searchParams.get("after") ?? `${state.mark}-0`).split("-");
    if (mark !== state.mark) return undefined;
    const ids = Array.from({ length: state.count }, (_, i) => i).filter(
      (i) => url.searchParams.get("decision") !== "undecided" || i % 2 === 0,
    );
    const begin = ids.findIndex((i) => i >= Number(from));
    const rows = ids.slice(begin, begin + limit);
    const next = ids[begin + limit];
    return {
      id: 7,
      counts: { all: state.count, undecided: 0, recall: 0, watch: 0, none: 0 },
      restorations: rows.map((id) => ({ id, chart: `${state.mark}${id}` }) as InDoubt),
      after: next === undefined ? null : `${state.mark}-${next}`,
    } as unknown as LookBack;
  };
  vi.stubGlobal("fetch", async (path: string) => {
    state.asked.push(path);
    const body = page(new URL(path, "https://practice"));
    return body
      ? new Response(JSON.stringify(body))
      : new Response(JSON.stringify({ sentence: "The ranking has changed." }), { status: 409 });
  });
  return state;
}
afterEach(() => vi.unstubAllGlobals());
const ids = (rows: readonly InDoubt[]) => rows.map((row) => row.id);
const upTo = (count: number) => Array.from({ length: count }, (_, i) => i);

describe("a list of pages", () => {
  it("grows by a page at a time", async () => {
    serve(250);
    let listed = await readFirst(7, "all");
    expect(ids(listed.rows)).toEqual(upTo(100));
    listed = await readOn(listed, "all");
    listed = await readOn(listed, "all");
    expect(ids(listed.rows)).toEqual(upTo(250));
    expect(listed.after).toBeNull();
    expect(await readOn(listed, "all")).toBe(listed);
  });
  it("begins anew with as much where the ranking has changed", async () => {
    const server = serve(2500);
    const listed = await readFirst(7, "all", 1200);
    expect(listed.rows.length).toBe(1200);
    server.mark = "b";
    const more = await readOn(listed, "all");
    expect(ids(more.rows)).toEqual(upTo(1300));
    expect(more.rows.every((row) => row.chart.startsWith("b"))).toBe(true);
  });
  it("gives up, and says so, where it changes faster than it is read", async () => {
    const server = serve(2500);
    const listed = await readFirst(7, "all");
    const plain = fetch;
    vi.stubGlobal("fetch", (path: string) => {
      server.mark += "x";
      return plain(path);
    });
    await expect(readToTheEnd(listed, "all", () => undefined)).rejects.toThrow("The ranking has changed.");
  });
  it("is read to its end a thousand at a time", async () => {
    const server = serve(2500);
    const far: number[] = [];
    const listed = await readToTheEnd(await readFirst(7, "all"), "all", (count) => far.push(count));
    expect(ids(listed.rows)).toEqual(upTo(2500));
    expect(far).toEqual([1100, 2100, 2500]);
    expect(server.asked.length).toBe(4);
  });
  it("gives the numbers of all without a decision", async () => {
    serve(2500);
    expect(await undecidedOf(7, () => undefined)).toEqual(upTo(1250).map((i) => 2 * i));
  });
});
