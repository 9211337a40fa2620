import { describe, expect, it } from "vitest";
import {
  actsOf,
  alarmWords,
  arrivedWords,
  eventWords,
  type FleetRow,
  fallsWords,
  fleetSentence,
  linkWords,
  paperFacts,
  pointWords,
  raisedBy,
  readingsOf,
  type Series,
  standing,
  toldWords,
  worstFirst,
} from "./fleet";

const row = (id: number, more: Partial<FleetRow> = {}): FleetRow => ({
  id,
  name: `Light ${id}`,
  serial: "",
  room: 1,
  room_name: "Room 1",
  site: 1,
  state: "in use",
  why: "",
  today: null,
  claimed_mw_cm2: null,
  last_check: null,
  due: null,
  overdue: false,
  alarm: null,
  falls_below: null,
  limit_mw_cm2: 500,
  shown_per_exitance: 1,
  ...more,
});

describe("the fleet", () => {
  it("is told in a sentence", () => {
    expect(fleetSentence([])).toBe("No light is on record yet");
    expect(fleetSentence([row(1)])).toBe("1 light: 1 in use");
    const rows = [row(1, { overdue: true }), row(2, { state: "watch" }), row(3, { state: "withdrawn" })];
    expect(fleetSentence(rows)).toBe("3 lights: 1 in use, 1 to watch, 1 withdrawn; 1 check is overdue");
  });
  it("has what needs somebody first", () => {
    const rows = [
      row(1, { state: "withdrawn" }),
      row(2),
      row(3, { overdue: true }),
      row(4, { state: "watch" }),
    ];
    expect(worstFirst(rows).map((one) => one.id)).toEqual([4, 3, 2, 1]);
  });
  it("lets each role do what it may", () => {
    expect(actsOf("in use", "viewer")).toEqual([]);
    expect(actsOf("in use", "assistant")).toEqual(["check", "note"]);
    expect(actsOf("watch", "clinician")).toEqual(["check", "withdraw", "note"]);
    expect(actsOf("not accepted", "lead")).toEqual(["check", "accept", "refuse", "note"]);
    expect(actsOf("not accepted", "clinician")).toEqual(["check", "note"]);
    expect(actsOf("withdrawn", "lead")).toEqual(["check", "return", "note"]);
    expect(actsOf("withdrawn", "clinician")).toEqual(["check", "note"]);
  });
});

describe("words", () => {
  it("say when a light falls below the limit, and when that is not foreseen", () => {
    const falls = { p10: "2027-01-15T12:00:00Z", p50: "2027-03-15T12:00:00Z", p90: null };
    expect(fallsWords(falls)).toBe("about Mar 2027, Jan 2027 to later");
    expect(fallsWords({ p10: null, p50: null, p90: null })).toBe("");
    expect(fallsWords(null)).toBe("");
  });
  it("say when an alarm began, once", () => {
    const alarm = {
      at: "",
      reading: 1,
      rule: "cusum low",
      sentence: "It drifts down.",
      began_at: "2026-08-01T12:00:00Z",
      stands: true,
    };
    expect(alarmWords(alarm)).toBe("It drifts down. It began about 1 Aug 2026.");
    expect(alarmWords({ ...alarm, sentence: "It drifts down since 2026-08-01." })).toBe(
      "It drifts down since 2026-08-01.",
    );
    const series = {
      ...({} as Series),
      current: true,
      alarms: [alarm, { ...alarm, reading: 2, stands: false }],
    };
    expect(standing({ series: [series, { ...series, current: false }] })).toEqual([alarm]);
  });
  it("say which charts raised an alarm, each once", () => {
    const alarm = (rule: string, sentence = "It drifts down.", stands = true) => ({
      at: "",
      reading: 1,
      rule,
      sentence,
      began_at: "2026-08-01T12:00:00Z",
      stands,
    });
    const of = (...alarms: ReturnType<typeof alarm>[]) => ({
      series: [{ ...({} as Series), current: true, alarms }],
    });
    const low = alarm("cusum_low");
    expect(raisedBy(of(low), low)).toBe("CUSUM");
    expect(raisedBy(of(low, alarm("ewma")), low)).toBe("EWMA and CUSUM");
    expect(
      raisedBy(of(low, alarm("ewma"), alarm("two_beyond_two_sigma"), alarm("ten_on_one_side")), low),
    ).toBe("runs of values, EWMA and CUSUM");
    expect(
      raisedBy(of(low, alarm("ewma", "It rises."), alarm("beyond_limits", low.sentence, false)), low),
    ).toBe("CUSUM");
    expect(raisedBy(of(alarm("some_rule")), alarm("some_rule"))).toBe("some rule");
  });
  it("say what a light's papers say", () => {
    const until = new Date(2026, 7, 31, 12).toISOString();
    const light = {
      room: 1,
      name: "Light 2",
      serial: "S-102",
      approval_number: "N-5",
      approved_by: "An authority",
      bought_in: "Portugal",
      warranty_until: until,
      battery: "lithium-ion",
      emits_violet: true,
    };
    const said = (now: Date) => paperFacts(light, now.getTime()).map((one) => one.join(": "));
    expect(said(new Date(2026, 7, 31, 23))).toEqual([
      "National approval: N-5, An authority",
      "Bought in: Portugal",
      "Warranty: until 31 Aug 2026",
      "Battery: lithium-ion",
      "Emits: violet and blue",
    ]);
    expect(said(new Date(2026, 8, 1, 1))[2]).toBe("Warranty: ran out on 31 Aug 2026");
    expect(paperFacts({ room: 1, name: "Light 2", serial: "S-102" }).map((one) => one[1])).toEqual([
      "no number on record",
      "not on record",
      "no end on record",
      "none on record: on a cord",
      "whether violet too is not known",
    ]);
  });
  it("say where a light went", () => {
    const event = { what: "lent", room_name: "Room 2", note: "for the week" };
    expect(eventWords(event)).toBe("lent to Room 2, for the week");
    expect(eventWords({ ...event, what: "returned", note: null })).toBe("came back from Room 2");
    expect(eventWords({ ...event, what: "cleaned", room_name: null, note: null })).toBe("cleaned");
  });
  it("say of a reading why it does not count", () => {
    const point = {
      reading: 1,
      revision: 1,
      at: new Date(2026, 4, 12, 8, 5).toISOString(),
      arrived_at: new Date(2026, 4, 12, 17, 20).toISOString(),
      shown_mw_cm2: 940,
      mw_cm2: 1000,
      share: 0.94,
      barrier_on: true,
      counts: false,
      why_not: "The barrier was on.",
      told: null,
    };
    const series: Series = {
      tip: 1,
      tip_name: "8 mm tip",
      radiometer: 1,
      radiometer_name: "Radiometer A",
      mode: "standard",
      baseline_mw_cm2: 1000,
      limit_mw_cm2: 800,
      current: true,
      to_drawn: 1,
      points: [point],
      limits: null,
      alarms: [],
    };
    expect(pointWords(point, series)).toBe(
      "12 May 2026, 08:05: 940\u00a0mW/cm² on Radiometer A, 8 mm tip, 94\u00a0% of its baseline, barrier on; does not count: the barrier was on",
    );
    expect(arrivedWords(point)).toBe("arrived 12 May 2026, 17:20");
    expect(arrivedWords({ ...point, arrived_at: new Date(2026, 4, 12, 8, 6).toISOString() })).toBe("");
    expect(toldWords(point)).toBe("not on record");
    const { counts: _counts, mw_cm2: _bare, share: _share, ...same } = point;
    const apart = {
      ...same,
      reading: 2,
      at: new Date(2026, 4, 13).toISOString(),
      barrier_on: false,
      why_not: "The tip was not clean.",
      tip_name: null,
      radiometer_name: "Radiometer B",
      mode: "standard",
    };
    expect(
      readingsOf({ series: [series], apart: [apart] }).map((one) => [one.reading, one.with, one.share]),
    ).toEqual([
      [2, "a tip of another light, Radiometer B", null],
      [1, "8 mm tip, Radiometer A, barrier on", 0.94],
    ]);
    expect(toldWords({ told: { verdict: "noted", share: null } })).toBe("does not count");
    expect(toldWords({ told: { verdict: "again", share: 0.72 } })).toBe("to be taken again, 72\u00a0%");
  });
  it("say how much more one radiometer shows than another", () => {
    // Pairs of 900, 940 and 980 beside 1000 each: the same example as in radiometer_links_test.cpp, worked out there.
    const link = {
      from: 1,
      from_name: "Radiometer A",
      to: 2,
      to_name: "Radiometer B",
      tip: 12,
      tip_name: "8 mm tip",
      mode: "standard",
      ratio: 0.939432,
      low: 0.889498,
      high: 0.992169,
      pairs: 3,
    };
    expect(linkWords(link)).toBe(
      "Radiometer B shows 0.94 of what Radiometer A shows, 0.89 to 0.99, from 3 pairs.",
    );
    const wide = { ...link, tip: 13, tip_name: "wide tip", ratio: 1.2, low: 1.104, high: 1.304, pairs: 1 };
    expect(linkWords(wide, [link, wide])).toBe(
      "Radiometer B shows 1.20 times what Radiometer A shows, 1.10 to 1.30, from 1 pair, with the wide tip, standard.",
    );
  });
});
