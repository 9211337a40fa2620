import { describe, expect, it } from "vitest";
import {
  baselineOf,
  begin,
  bodyOf,
  type Draft,
  dueFirst,
  dueWords,
  guess,
  inRoom,
  lightOf,
  missing,
  nextDue,
  onAnother,
  once,
  pairWords,
  type Sheet,
  type SheetLight,
} from "./check";

const light: SheetLight = {
  id: 3,
  name: "Light 3",
  serial: "S3",
  room: 1,
  state: "in use",
  mode: "standard",
  battery: true,
  tips: [{ id: 7, name: "8 mm", diameter_mm: 8 }],
  last: {
    at: "2026-11-20T08:00:00Z",
    shown_mw_cm2: 950,
    tip: 7,
    radiometer: 2,
    share: 0.95,
    baseline_mw_cm2: 1000,
    limit_mw_cm2: 803,
  },
  due: "2026-11-27T08:00:00Z",
  overdue: false,
};
const sheet: Sheet = {
  at: "2026-11-26T08:00:00Z",
  limits: { lower_mw_cm2: 500, upper_mw_cm2: 2000, alert_share: 0, action_share: 0 },
  rooms: [{ id: 1, name: "Room 1", radiometer: 2 }],
  radiometers: [{ id: 2, name: "Radiometer A", certificate_until: null, expired: false }],
  barriers: [{ id: 5, name: "Plastic sleeve", pass: 0.9 }],
  lights: [light],
};
const taken = "2026-11-26T09:00:00Z";
const looked: Draft = {
  ...begin(sheet, light),
  tipLook: "clean and whole",
  barrierLook: "none",
  mode: "standard",
};
const body = (draft: Draft, shown = 900) => {
  const out = bodyOf(draft, sheet, shown, taken);
  if (!out) throw new Error("not complete");
  return out;
};

describe("a check", () => {
  it("begins with what room and light settle, and no look taken", () => {
    const draft = begin(sheet, light);
    expect([draft.radiometer, draft.tip, draft.room, draft.purpose]).toEqual([2, 7, 1, "check"]);
    expect(missing(draft, sheet)).toEqual(["tipLook", "barrierLook", "mode"]);
    expect(bodyOf(draft, sheet, 900, taken)).toBeUndefined();
    expect(begin(sheet, { ...light, state: "not accepted" }).purpose).toBe("acceptance");
  });

  it("takes the radiometer of the room that it is moved to", () => {
    const rooms = [
      ...sheet.rooms,
      { id: 2, name: "Room 2", radiometer: 4 },
      { id: 3, name: "Room 3", radiometer: null },
    ];
    const to = (room: number) => inRoom(begin(sheet, light), { ...sheet, rooms }, room);
    expect([to(2).room, to(2).radiometer]).toEqual([2, 4]);
    expect([to(3).room, to(3).radiometer]).toEqual([3, 2]);
  });

  it("says what makes a pair with it", () => {
    expect(pairWords("check")).toBe("");
    expect(pairWords("side_by_side")).toMatch(/other radiometer too.*within half an hour/);
  });

  it("sends null for every look that was not taken", () => {
    expect(body(looked)).toEqual({
      light: 3,
      tip: 7,
      radiometer: 2,
      room: 1,
      taken_at: taken,
      mode: "standard",
      shown_mw_cm2: 900,
      second_of_press: null,
      barrier_on: false,
      barrier: null,
      tip_clean: true,
      tip_whole: true,
      barrier_smooth: null,
      vents_clear: null,
      disinfected: null,
      battery: null,
      note: null,
      purpose: "check",
    });
  });

  it("does not say that a dirty tip is whole, nor that a damaged one is clean", () => {
    expect(body({ ...looked, tipLook: "not clean" })).toMatchObject({ tip_clean: false, tip_whole: null });
    expect(missing({ ...looked, tipLook: "damaged" }, sheet)).toEqual(["damagedButClean"]);
    expect(body({ ...looked, tipLook: "damaged", damagedButClean: true })).toMatchObject({
      tip_clean: true,
      tip_whole: false,
    });
  });

  it("names the barrier that was on, and asks which where there are several", () => {
    expect(body({ ...looked, barrierLook: "seam" })).toMatchObject({
      barrier_on: true,
      barrier: 5,
      barrier_smooth: false,
    });
    const two = { ...sheet, barriers: [...sheet.barriers, { id: 6, name: "Other", pass: 0.8 }] };
    expect(missing({ ...looked, barrierLook: "snug" }, two)).toEqual(["barrier"]);
  });

  it("is taken once more with a clean tip, no barrier and a full battery, and nothing else looked at", () => {
    const again = body(
      once({ ...looked, tipLook: "not clean", barrierLook: "seam", vents_clear: true }, light),
    );
    expect(again).toMatchObject({ tip_clean: true, barrier_on: false, battery: 1 });
    expect([again.tip_whole, again.vents_clear, again.disinfected]).toEqual([null, null, null]);
    expect(body(once(looked, { ...light, battery: false })).battery).toBeNull();
  });
});

describe("what the page says before the program has judged it", () => {
  it("is the share of the baseline of the same tip, radiometer and mode", () => {
    expect(baselineOf(light, body(looked))).toBeCloseTo(1000);
    expect(baselineOf(light, { ...body(looked), radiometer: 9 })).toBeNull();
    expect(baselineOf(light, { ...body(looked), mode: "other" })).toBeNull();
    const said = guess(sheet, light, body(looked));
    expect(said.sentence).toBe("Light 3 shows 900\u00a0mW/cm², 90\u00a0% of its baseline.");
    expect(said.ask).toBeNull();
    expect(said.limit_mw_cm2).toBe(803);
    expect(guess(sheet, light, { ...body(looked), radiometer: 9 }).limit_mw_cm2).toBeNull();
  });
  it("takes a barrier's own loss out", () => {
    const said = guess(sheet, light, body({ ...looked, barrierLook: "snug" }, 810));
    expect(said.share).toBeCloseTo(0.9);
  });
  it("asks once more below the limit, unless it was taken so already", () => {
    const dirty = guess(sheet, light, body({ ...looked, tipLook: "not clean" }, 450));
    expect(dirty.sentence).toMatch(/below the limit of 500/);
    expect(dirty.ask).toMatchObject({ barrier_on: false, clean_tip: true, full_battery: true });
    const again = guess(sheet, light, body(once(looked, light), 450));
    expect(again.ask).toBeNull();
    expect(again.steps[0]).toMatch(/Leave it out of use/);
  });
  it("goes by the shares of the baseline too, where the practice has set them", () => {
    const strict = { ...sheet, limits: { ...sheet.limits, alert_share: 0.9, action_share: 0.8 } };
    expect(guess(strict, light, body(looked, 890)).sentence).toMatch(/89\s% of its baseline: to be watched/);
    const little = guess(strict, light, body({ ...looked, tipLook: "not clean" }, 790));
    expect(little.sentence).toMatch(/less than 80\s%, too little to cure with/);
    expect(little.ask).not.toBeNull();
    expect(guess(sheet, light, body(looked, 790)).ask).toBeNull();
  });
  it("says of a reading that says nothing of the light that it does not count", () => {
    const dirty = guess(sheet, light, body({ ...looked, tipLook: "not clean" }, 900));
    expect(dirty.sentence).toBe("Light 3 shows 900\u00a0mW/cm². It does not count: the tip was not clean.");
    expect([dirty.share, dirty.steps.length, dirty.ask]).toEqual([null, 1, null]);
    expect(guess(sheet, light, body({ ...looked, battery: 0.2 }, 900)).sentence).toMatch(/battery was low/);
    const behind = guess(sheet, light, body({ ...looked, barrierLook: "seam" }, 800));
    expect(behind.sentence).toMatch(/does not count: the barrier had a seam or a wrinkle over the tip/);
    expect(behind.share).toBeNull();
    const meant = guess(sheet, light, body({ ...looked, purpose: "low_battery", battery: 0.2 }, 450));
    expect(meant.sentence).toMatch(/does not count: it was taken with a low battery/);
    expect([meant.steps, meant.ask]).toEqual([[], null]);
    const before = body({ ...looked, purpose: "before_cleaning", tipLook: "not clean" }, 450);
    expect(guess(sheet, light, before).ask).toBeNull();
  });
  it("begins with what was seen, which no number makes good", () => {
    const chipped: Draft = { ...looked, tipLook: "damaged", damagedButClean: true };
    const said = guess(sheet, light, body(chipped, 980));
    expect(said.sentence).toBe(
      "The tip is damaged: do not cure with it. Light 3 shows 980\u00a0mW/cm², 98\u00a0% of its baseline.",
    );
    expect(said.steps).toEqual(["Replace the tip, and note that on the light's page."]);
    const low = guess(sheet, light, body({ ...chipped, vents_clear: false }, 450));
    expect(low.sentence).toMatch(
      /^The tip is damaged: .* The vents are blocked: clear them before it is used\. Light 3/,
    );
    expect(low.steps).toHaveLength(3);
  });
  it("says what is above the caution", () => {
    expect(guess(sheet, light, body(looked, 2100)).sentence).toMatch(/above the caution of 2,000/);
  });
});

describe("the list of lights", () => {
  it("has what is overdue first, and what is never due last", () => {
    const one = (id: number, due: string | null, overdue = false): SheetLight => ({
      ...light,
      id,
      due,
      overdue,
    });
    const list = [one(1, null), one(2, "2026-12-02"), one(3, "2026-11-01", true), one(4, "2026-11-28")];
    expect(dueFirst(list).map((each) => each.id)).toEqual([3, 4, 2, 1]);
  });
  it("counts days by the calendar", () => {
    const now = new Date(2026, 10, 26, 23, 50);
    expect(dueWords(new Date(2026, 10, 26, 0, 5).toISOString(), now)).toBe("due today");
    expect(dueWords(new Date(2026, 10, 27, 0, 5).toISOString(), now)).toBe("due in 1 day");
    expect(dueWords(new Date(2026, 10, 23, 23, 59).toISOString(), now)).toBe("3 days overdue");
    expect(dueWords(null, now)).toBe("never due");
  });
  it("is left out where the address names the light", () => {
    expect(lightOf("?light=3")).toBe(3);
    for (const query of ["", "?light=", "?light=x", "?light=-1", "?light=03"])
      expect(lightOf(query)).toBeUndefined();
  });
});

describe("going on", () => {
  const radiometer = (id: number) => ({
    id,
    name: `Radiometer ${id}`,
    certificate_until: null,
    expired: false,
  });
  it("takes the second of two side by side with all that was seen, on the other radiometer", () => {
    const two = { ...sheet, radiometers: [radiometer(2), radiometer(9)] };
    const second = onAnother({ ...looked, purpose: "side_by_side" }, two);
    expect(second).toEqual({ ...looked, purpose: "side_by_side", radiometer: 9 });
    const three = { ...sheet, radiometers: [radiometer(2), radiometer(9), radiometer(11)] };
    expect(onAnother(looked, three).radiometer).toBeUndefined();
  });
  it("stays in the room while something is due there", () => {
    const now = new Date("2026-11-29T09:00:00Z");
    const other = { ...light, id: 4, room: 2, due: "2026-11-01T08:00:00Z", overdue: true };
    const here = { ...light, id: 5 };
    const later = { ...light, id: 6, due: "2027-01-01T08:00:00Z" };
    const of = (...lights: SheetLight[]) => nextDue({ ...sheet, lights }, light, now)?.id;
    expect(of(light, other, here, later)).toBe(5);
    expect(of(light, other, later)).toBe(4);
    expect(of(light, later)).toBeUndefined();
  });
});
