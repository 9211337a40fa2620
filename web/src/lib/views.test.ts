import { describe, expect, it } from "vitest";
import { places, signInFor, viewOf, wanted } from "./views";

describe("viewOf", () => {
  it("starts with today", () => {
    expect(viewOf("/")).toEqual({ place: "today" });
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
    expect(viewOf("/restoration/made/12")).toEqual({ place: "restoration", made: 12, itsCase: false });
    expect(viewOf("/restoration/made/12/case")).toEqual({ place: "restoration", made: 12, itsCase: true });
    expect(viewOf("/restoration/made/x")).toEqual({ place: "nowhere" });
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
  it("finds look-backs by their numbers", () => {
    expect(viewOf("/look-back")).toEqual({ place: "look-back" });
    expect(viewOf("/look-back/17")).toEqual({ place: "look-back", lookBack: 17 });
  });
  it("finds the parts of setting up", () => {
    expect(viewOf("/setup")).toEqual({ place: "setup" });
    expect(viewOf("/setup/people")).toEqual({ place: "setup", part: "people" });
  });
  it("finds the doors", () => {
    expect(viewOf("/begin")).toEqual({ place: "door", at: "begin" });
    expect(viewOf("/sign-in")).toEqual({ place: "door", at: "sign-in" });
    expect(viewOf("/join")).toEqual({ place: "door", at: "join" });
  });
  it("leads nowhere for all else", () => {
    const paths = [
      "/other",
      "/lights/a/b",
      "/lights/%zz",
      "/look-back/0",
      "/look-back/x",
      "/setup/x",
      "/join/x",
      "/sign-in/token",
    ];
    for (const path of paths) expect(viewOf(path)).toEqual({ place: "nowhere" });
  });
  it("has five places", () => {
    expect(places.map((one) => one.name)).toEqual(["Today", "Lights", "Restoration", "Look-back", "Setup"]);
  });
});

describe("signing in", () => {
  it("leads back to where one wanted to go", () => {
    expect(signInFor("/check", "?light=3")).toBe("/sign-in?to=%2Fcheck%3Flight%3D3");
    expect(signInFor("/today", "")).toBe("/sign-in");
    expect(wanted("?to=%2Fcheck%3Flight%3D3")).toBe("/check?light=3");
  });
  it("leads to views of this page only", () => {
    for (const to of [
      "//elsewhere.example/",
      "https://elsewhere.example/",
      "/\\elsewhere.example",
      "/sign-in",
      "/nowhere",
      "/lights\n//x",
    ])
      expect(wanted(`?to=${encodeURIComponent(to)}`)).toBe("/");
    expect(wanted("")).toBe("/");
  });
});
