import { describe, expect, it } from "vitest";
import { decisionsOf, wrongsOfForm } from "./decide";

describe("decisions", () => {
  it("are one about each that is ticked", () => {
    expect(decisionsOf([3, 5], "watch", "shallow")).toEqual([
      { restoration: 3, what: "watch", reason: "shallow" },
      { restoration: 5, what: "watch", reason: "shallow" },
    ]);
  });
  it("say once at their field what is wrong with all of them", () => {
    const wrong = (field: string, what = "it is too long") => ({ field, what, remedy: "" });
    const told = wrongsOfForm({
      sentence: "",
      problems: [
        wrong("decisions.0.reason"),
        wrong("decisions.12.reason"),
        wrong("decisions.1.restoration", "it is not in this look-back"),
        wrong("password", "that is not the right one"),
      ],
    });
    expect(told.problems.map((one) => one.field)).toEqual(["reason", "restoration", "password"]);
  });
});
