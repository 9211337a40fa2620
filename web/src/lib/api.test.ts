import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { forgetSession, knock, newKey, Refused, send, session, waitSentence } from "./api";
import { may, wantsPassword, who } from "./who.svelte";

const info = {
  demo: false,
  version: "1",
  page_token: "token",
  ticket: "t",
  account: 1,
  person: { id: 1, name: "A. Lead", role: "lead", site: 1, everywhere: true },
  by_pin: false,
  shared: false,
  pins_until: "2026-11-26T20:00:00Z",
} as const;
const json = (status: number, body: unknown, headers = {}): Response =>
  new Response(status === 204 ? null : JSON.stringify(body), { status, headers });

/** The answers by method and path; what was asked, in order. */
let answers: Record<string, () => Response>;
let asked: { name: string; headers: Record<string, string>; body: unknown }[];
beforeEach(() => {
  forgetSession();
  asked = [];
  answers = { "GET /api/session": () => json(200, info) };
  vi.stubGlobal("fetch", async (path: string, how: RequestInit) => {
    const name = `${how.method ?? "GET"} ${path}`;
    asked.push({ name, headers: how.headers as Record<string, string>, body: how.body });
    return (answers[name] ?? (() => json(404, { sentence: "Nothing." })))();
  });
});
afterEach(() => vi.unstubAllGlobals());

describe("asking the server", () => {
  it("sends a change with the page's token and the act's key", async () => {
    answers["PUT /api/records/room/1?revision=2"] = () => json(200, { id: 1, revision: 3 });
    const key = newKey();
    expect(key).toMatch(/^[A-Za-z0-9_-]{16,64}$/);
    expect(await send("PUT", "/api/records/room/1?revision=2", { name: "Room" }, { key })).toEqual({
      id: 1,
      revision: 3,
    });
    expect(asked.at(-1)?.headers).toMatchObject({ "x-throughcure-token": "token", "idempotency-key": key });
  });
  it("knocks without a token where nobody is signed in, and tells the shell nothing of that", async () => {
    answers["GET /api/session"] = () => json(401, { sentence: "You are not signed in." });
    answers["POST /api/door/sign-in"] = () => json(200, info);
    const before = who.refusals;
    expect(await knock("/api/door/sign-in", {})).toEqual(info);
    expect(asked.at(-1)?.headers["x-throughcure-token"]).toBeUndefined();
    expect(who.refusals).toBe(before);
  });
  it("tells the shell that nobody is signed in, and asks anew next time", async () => {
    await session();
    expect(who.info).toEqual(info);
    answers["POST /api/look-backs/1/close"] = () => json(401, { sentence: "You are not signed in." });
    const before = who.refusals;
    await expect(send("POST", "/api/look-backs/1/close", {})).rejects.toThrow("You are not signed in.");
    expect(who.refusals).toBe(before + 1);
    expect(who.info).toBeUndefined();
    await session();
    expect(asked.filter((one) => one.name === "GET /api/session").length).toBe(2);
  });
  it("goes on after the same person signed in anew in another tab, and not as somebody else", async () => {
    await session();
    const renewed = { ...info, page_token: "newer" };
    answers["GET /api/session"] = () => json(200, renewed);
    answers["POST /api/act"] = () =>
      asked.at(-1)?.headers["x-throughcure-token"] === "newer"
        ? json(200, { done: true })
        : json(403, { sentence: "No." });
    expect(await send("POST", "/api/act", {}, { key: "k" })).toEqual({ done: true });
    expect(
      asked.filter((one) => one.name === "POST /api/act").map((one) => one.headers["idempotency-key"]),
    ).toEqual(["k", "k"]);
    answers["GET /api/session"] = () =>
      json(200, { ...info, page_token: "other", account: 2, person: { ...info.person, name: "C. Other" } });
    answers["POST /api/act"] = () => json(403, { sentence: "No." });
    await expect(send("POST", "/api/act", {})).rejects.toThrow(/^C\. Other is signed in here by now/);
    expect(asked.filter((one) => one.name === "POST /api/act").length).toBe(3);
    // A refusal for the role is nothing else.
    await expect(send("POST", "/api/act", {})).rejects.toThrow("No.");
  });
  it("says how long to wait", async () => {
    answers["POST /api/session/pin"] = () => json(429, { sentence: "Wait." }, { "retry-after": "30" });
    const error = await send("POST", "/api/session/pin", {}).catch((one: unknown) => one);
    expect(error).toBeInstanceOf(Refused);
    expect((error as Refused).wait_s).toBe(30);
    expect((error as Refused).message).toBe(waitSentence(30));
    expect(waitSentence(1)).toMatch(/^Wait 1 second,/);
    expect(waitSentence(600)).toMatch(/^Wait 10 minutes,/);
  });
});

describe("what one may do", () => {
  it("goes by the role, and what is the lead's not by a PIN", () => {
    expect(may("lead", info)).toBe(true);
    expect(may("lead", { ...info, by_pin: true })).toBe(false);
    expect(may("clinician", { ...info, by_pin: true })).toBe(true);
    expect(may("assistant", { ...info, person: { ...info.person, role: "viewer" } })).toBe(false);
    expect(may("viewer", undefined)).toBe(false);
    expect(wantsPassword(info)).toBe(false);
    expect(wantsPassword({ ...info, by_pin: true })).toBe(true);
    expect(wantsPassword({ ...info, by_pin: true, person: { ...info.person, role: "clinician" } })).toBe(
      false,
    );
  });
});
