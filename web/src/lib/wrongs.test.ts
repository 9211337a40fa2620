import { describe, expect, it } from "vitest";
import { Refused } from "./api";
import { sentence, wrongAt, wrongsOf, wrongWords } from "./wrongs";

describe("what was wrong", () => {
  it("stands at its field, with what to do", () => {
    const wrongs = wrongsOf(
      new Refused(422, "This cannot be kept as it is.", [
        { field: "name", what: "it is empty", remedy: "Say something" },
        { field: "pin", what: "it has 3 digits", remedy: "Take 6 or more." },
      ]),
    );
    expect(wrongs.sentence).toBe("");
    expect(wrongAt(wrongs, "name")).toBe("It is empty. Say something.");
    expect(wrongAt(wrongs, "pin")).toBe("It has 3 digits. Take 6 or more.");
    expect(wrongAt(wrongs, "site")).toBeUndefined();
  });
  it("is a sentence where anything else was thrown", () => {
    expect(wrongsOf(new Error("gone"))).toEqual({ sentence: "gone", problems: [] });
    expect(wrongsOf("gone").sentence).toBe("gone");
    expect(wrongsOf(new Refused(422, "This cannot be kept.")).sentence).toBe("This cannot be kept.");
    expect(wrongsOf(new Refused(409, "Somebody else changed it.", [])).sentence).toBe(
      "Somebody else changed it.",
    );
  });
  it("is a line where there are no fields, with each thing once", () => {
    const problems = [{ field: "state", what: "it is withdrawn already", remedy: "Nothing is to be done" }];
    expect(
      wrongWords(new Refused(422, "state: it is withdrawn already. Nothing is to be done.", problems)),
    ).toBe("It is withdrawn already. Nothing is to be done.");
    expect(wrongWords(new Refused(403, "Only the lead may do this."))).toBe("Only the lead may do this.");
  });
  it("is written as a sentence", () => {
    expect(sentence("")).toBe("");
    expect(sentence("it is no day")).toBe("It is no day.");
  });
});
