import { expect, it } from "vitest";
import { problemWords } from "./problems";

it("tells a problem and what to do about it in sentences", () => {
  expect(
    problemWords({ what: "this tip belongs to another light", remedy: "Choose a tip of this light" }),
  ).toBe("This tip belongs to another light. Choose a tip of this light.");
  expect(problemWords({ what: "It is too much.", remedy: "" })).toBe("It is too much.");
});
