import { describe, expect, it } from "vitest";
import { places, viewOf } from "./views";

describe("viewOf", () => {
  it("starts where there is something to show", () => {
    expect(viewOf("/")).toEqual({ place: "restoration" });
    expect(viewOf("/lights")).toEqual({ place: "lights" });
    expect(viewOf("/lights/")).toEqual({ place: "lights" });
  });
  it("finds a light by its name", () => {
    expect(viewOf("/lights/old%20lamp")).toEqual({ place: "lights", light: "old lamp" });
  });
  it("finds a restoration by its name", () => {
    expect(viewOf("/restoration/")).toEqual({ place: "restoration" });
    expect(viewOf("/restoration/class2-poor")).toEqual({ place: "restoration", restoration: "class2-poor" });
  });
  it("begins a case where no file's name leads", () => {
    expect(viewOf("/restoration/new/case")).toEqual({ place: "restoration", begun: true });
    expect(viewOf("/restoration/new")).toEqual({ place: "restoration", restoration: "new" });
  });
  it("shows today", () => {
    expect(viewOf("/today")).toEqual({ place: "today" });
    expect(viewOf("/today/other")).toEqual({ place: "nowhere" });
  });
  it("takes a check, and shows those that wait", () => {
    expect(viewOf("/check")).toEqual({ place: "check" });
    expect(viewOf("/check/waiting")).toEqual({ place: "check", waiting: true });
    expect(viewOf("/check/other")).toEqual({ place: "nowhere" });
  });
  it("says what is not there yet", () => {
    expect(viewOf("/look-back")).toEqual({ place: "not-yet", name: "Look-back" });
  });
  it("leads nowhere for all else", () => {
    for (const path of ["/other", "/lights/a/b", "/lights/%zz"])
      expect(viewOf(path)).toEqual({ place: "nowhere" });
  });
  it("has five places", () => {
    expect(places.map((one) => one.name)).toEqual(["Today", "Lights", "Restoration", "Look-back", "Setup"]);
  });
});
