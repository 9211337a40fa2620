import { describe, expect, it } from "vitest";
import { type AuditChange, changeWords, paperWords, rootWords, whatOf } from "./audit";

const change: AuditChange = {
  number: 7,
  at: "2026-11-26T23:40:00.000000Z",
  name: "B. Lead",
  kind: "lookback",
  record: "3",
  is_new: false,
  before: [
    { field: "name", text: "Room 1" },
    { field: "note", text: null },
    { field: "chart", text: null },
  ],
  after: [
    { field: "name", text: "Room 2" },
    { field: "note", text: null },
    { field: "check_every_days", text: "7" },
  ],
};

describe("a change of the log", () => {
  it("is told a line a field, private values as private", () => {
    expect(whatOf(change)).toBe("look-back 3");
    expect(changeWords(change)).toEqual([
      "name: Room 1 became Room 2",
      "note: private, changed",
      "chart: private was taken away",
      "check every days: 7",
    ]);
  });
  it("tells instants and yes or no in words", () => {
    const at = new Date(2028, 1, 29, 12, 30).getTime() * 1000;
    const after = [
      { field: "warranty_until", text: String(at) },
      { field: "active", text: "0" },
      { field: "number", text: "17" },
    ];
    expect(changeWords({ ...change, before: [], after })).toEqual([
      "warranty until: 29 Feb 2028, 12:30",
      "active: no",
      "number: 17",
    ]);
  });
  it("has a root that can be compared with paper", () => {
    expect(rootWords("0123456789abcdef01")).toBe("01234567 89abcdef 01");
  });
});

describe("a log on paper", () => {
  it("says where it is not all there", () => {
    expect(paperWords(12, 12)).toBe("");
    expect(paperWords(50, 312)).toBe(
      "The newest 50 of 312 changes: “Export the log” on the page itself has all.",
    );
  });
});
