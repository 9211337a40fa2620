import { describe, expect, it } from "vitest";
import { momentText, servicingOf } from "./forms";

describe("what was done to a light", () => {
  const typed = { light: 2, person: 3, deed: "repaired", room: "", note: " ", at: "" };
  const now = new Date(2026, 2, 5, 8, 15, 30);
  it("is of now, unless another time is given", () => {
    const common = { light: 2, told_by: 3, what: "repaired", note: null };
    expect(servicingOf(typed, now)).toEqual({ ...common, at: now.toISOString() });
    const at = momentText(new Date(2026, 2, 4, 17, 0));
    expect(at).toBe("2026-03-04T17:00");
    expect(servicingOf({ ...typed, at }, now)).toEqual({
      ...common,
      at: new Date(2026, 2, 4, 17).toISOString(),
    });
    expect(servicingOf({ ...typed, at: "soon" }, now)).toMatchObject({ field: "at" });
  });
  it("has a room only where the light went to one, or came from one", () => {
    expect(servicingOf({ ...typed, room: "7" }, now)).not.toHaveProperty("room");
    expect(servicingOf({ ...typed, deed: "lent", room: "7" }, now)).toMatchObject({ room: 7 });
    expect(servicingOf({ ...typed, deed: "returned" }, now)).not.toHaveProperty("room");
  });
});
