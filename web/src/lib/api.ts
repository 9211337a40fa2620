// Asking our own server. What goes wrong comes back as the sentence to show.

import type { Doc, One } from "../api/documents";

/** What is wrong with one field of what was sent, and what to do about it. */
export type Problem = One<NonNullable<Doc<"Refusal">["problems"]>>;

/** Something that could not be had, said so that a person can go on. */
export class Refused extends Error {
  constructor(
    /** Of the answer; 0 where there was none. */
    readonly status: number,
    sentence: string,
    readonly problems: readonly Problem[] = [],
    /** How long the server wants to be left alone [s]. */
    readonly wait_s?: number,
  ) {
    super(sentence);
  }
}

/** What was asked is not worked out any more: something newer took its place, or it was stopped. */
export class GivenUp extends Error {
  constructor(readonly how: "superseded" | "stopped") {
    super(how);
  }
}

/**
 * What the server says of this session. `ticket` shows later who took a check that had to wait for a connection;
 * `by_pin`: changed over by PIN, so that what asks for a password is closed; `shared`: a device that stays in a room,
 * where people change over by PIN until `pins_until` without a new sign-in by password.
 */
export type SessionInfo = Doc<"Session">;

/** Who is signed in: what they may do goes by the role. */
export type PersonInfo = SessionInfo["person"];
export type Role = PersonInfo["role"];

/** GETs JSON. Throws Refused with the server's sentence, or ours where it cannot be reached. */
export async function get<T>(path: string, signal?: AbortSignal, silent = false): Promise<T> {
  return bodyOf<T>(await ask(path, { headers: { accept: "application/json" } }, signal), silent);
}

/** POSTs JSON and takes JSON back, as get does; throws GivenUp too. Carries the page's token. */
export async function post<T>(path: string, body: unknown, signal?: AbortSignal): Promise<T> {
  const answer = await bodyOf<T>(await change(path, body, signal));
  if (typeof answer !== "object" || answer === null || !("given_up" in answer)) return answer;
  throw new GivenUp(answer.given_up === "stopped" ? "stopped" : "superseded");
}

/** POSTs JSON and takes a text back. */
export async function postForText(path: string, body: unknown, signal?: AbortSignal): Promise<string> {
  const response = await change(path, body, signal);
  if (response.ok) return response.text();
  throw await refusalOf(response);
}

/** What a change may carry beside its body. */
export interface Carries {
  /** Made once for the act: the same again on a retry gets the same answer. */
  key?: string;
  /** Of the session of whoever did it, where another may be signed in by now. */
  ticket?: string;
}

/** Sends a change as JSON and takes JSON back; undefined where the answer is empty. Throws as get does. */
export async function send<T>(
  method: "POST" | "PUT",
  path: string,
  body: unknown,
  carries: Carries = {},
  signal?: AbortSignal,
): Promise<T> {
  const before = await session();
  try {
    return await sendWith<T>(before.page_token, method, path, body, carries, signal);
  } catch (error) {
    // What waited under a ticket is told apart by whoever keeps it.
    if (!(error instanceof Refused) || error.status !== 403 || carries.ticket !== undefined) throw error;
    const now = await get<SessionInfo>("/api/session", signal, quiet).catch(() => undefined);
    if (!now || now.page_token === before.page_token) throw error;
    // Somebody signed in anew in another tab: the same person goes on, with what was typed.
    adoptSession(now);
    if (now.account !== before.account) {
      throw new Refused(
        403,
        `${now.person.name} is signed in here by now. Look whether this is still to be done.`,
      );
    }
    return sendWith<T>(now.page_token, method, path, body, carries, signal);
  }
}

/** What opens a session: sent with the page's token where somebody is signed in here, and without it where nobody is. */
export async function knock<T>(path: string, body: unknown): Promise<T> {
  const open = await get<SessionInfo>("/api/session", undefined, quiet).catch(() => undefined);
  return sendWith(open?.page_token, "POST", path, body, {}, undefined, quiet);
}

/** A door's own 401 leads nowhere else. */
const quiet = true;

async function sendWith<T>(
  page_token: string | undefined,
  method: "POST" | "PUT",
  path: string,
  body: unknown,
  { key, ticket }: Carries,
  signal?: AbortSignal,
  silent = false,
): Promise<T> {
  const headers: Record<string, string> = {
    "content-type": "application/json",
  };
  if (page_token !== undefined) headers["x-throughcure-token"] = page_token;
  if (key !== undefined) headers["idempotency-key"] = key;
  if (ticket !== undefined) headers["x-throughcure-ticket"] = ticket;
  const response = await ask(path, { method, headers, body: JSON.stringify(body) }, signal);
  return response.status === 204 ? (undefined as T) : bodyOf<T>(response, silent);
}

/** Sends a file's bytes as they are, under its name. */
export async function sendFile<T>(path: string, file: File, { key }: Carries = {}): Promise<T> {
  const { page_token } = await session();
  const headers = {
    "content-type": file.type || "application/octet-stream",
    "x-throughcure-token": page_token,
    "x-file-name": encodeURIComponent(file.name),
    ...(key === undefined ? {} : { "idempotency-key": key }),
  };
  return bodyOf<T>(await ask(path, { method: "POST", headers, body: file }));
}

/** A key for one act: 128 bits of chance as 32 letters, by what plain http pages have too. */
export function newKey(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** DELETEs; what is not there any more is as good as deleted. */
export async function remove(path: string): Promise<void> {
  const { page_token } = await session();
  await ask(path, { method: "DELETE", headers: { "x-throughcure-token": page_token } });
}

let known: Promise<SessionInfo> | undefined;

/** Who is signed in here; asked once, and again after it could not be had. */
export function session(): Promise<SessionInfo> {
  known ??= get<SessionInfo>("/api/session")
    .then((info) => {
      watcher.signedIn(info);
      return info;
    })
    .catch((error: unknown) => {
      known = undefined;
      throw error;
    });
  return known;
}

/** Somebody has just signed in here: what the door answered. */
export function adoptSession(info: SessionInfo): void {
  known = Promise.resolve(info);
  watcher.signedIn(info);
}

/** Signs this browser out. */
export async function signOut(): Promise<void> {
  const { page_token } = await session();
  const response = await ask("/api/session", {
    method: "DELETE",
    headers: { "x-throughcure-token": page_token },
  });
  if (!response.ok && response.status !== 401) throw await refusalOf(response);
  forgetSession();
  watcher.signedOut();
}

/** The shell hears of who is signed in, and of the server saying that nobody is. */
interface Watcher {
  signedIn(info: SessionInfo): void;
  signedOut(): void;
}
let watcher: Watcher = { signedIn: () => undefined, signedOut: () => undefined };
export function watchSession(by: Watcher): void {
  watcher = by;
}

/** Somebody else is signed in, or nobody: the next question asks anew who. */
export function forgetSession(): void {
  known = undefined;
}

async function change(path: string, body: unknown, signal?: AbortSignal): Promise<Response> {
  const { page_token } = await session();
  const headers = { "content-type": "application/json", "x-throughcure-token": page_token };
  return ask(path, { method: "POST", headers, body: JSON.stringify(body) }, signal);
}

async function ask(path: string, how: RequestInit, signal?: AbortSignal): Promise<Response> {
  try {
    return await fetch(path, { ...how, signal: signal ?? null });
  } catch (error) {
    if (signal?.aborted) throw error;
    throw new Refused(
      0,
      "The program does not answer. Start “throughcure serve” again and open its new link.",
    );
  }
}

async function bodyOf<T>(response: Response, silent = false): Promise<T> {
  if (response.status === 401 && !silent) {
    known = undefined;
    watcher.signedOut();
  }
  if (!response.ok) throw await refusalOf(response);
  return (await response.json()) as T;
}

async function refusalOf(response: Response): Promise<Refused> {
  const body: unknown = await response.json().catch(() => null);
  const wait = Number(response.headers.get("retry-after") ?? Number.NaN);
  const wait_s = Number.isFinite(wait) ? wait : undefined;
  const sentence = response.status === 429 && wait_s !== undefined ? waitSentence(wait_s) : sentenceOf(body);
  return new Refused(response.status, sentence, problemsOf(body), wait_s);
}

/** "Wait 30 seconds, then try again." */
export function waitSentence(wait_s: number): string {
  const [many, unit] =
    wait_s < 90 ? [Math.max(1, Math.ceil(wait_s)), "second"] : [Math.ceil(wait_s / 60), "minute"];
  return `Wait ${many} ${unit}${many === 1 ? "" : "s"}, then try again: there were many tries in a short time.`;
}

function problemsOf(body: unknown): Problem[] {
  if (typeof body !== "object" || body === null || !("problems" in body) || !Array.isArray(body.problems))
    return [];
  return body.problems.map((one: Partial<Problem>) => ({
    field: String(one.field ?? ""),
    what: String(one.what ?? ""),
    remedy: String(one.remedy ?? ""),
  }));
}

function sentenceOf(body: unknown): string {
  if (typeof body === "object" && body !== null && "sentence" in body && typeof body.sentence === "string") {
    return body.sentence;
  }
  return "The program could not do this, and did not say why. Its own log says more.";
}
