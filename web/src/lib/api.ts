// Asking our own server. What goes wrong comes back as the sentence to show.

/** Something that could not be had, said so that a person can go on. */
export class Refused extends Error {
  constructor(
    readonly status: number,
    sentence: string,
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

/** What the server says of this session. */
export interface SessionInfo {
  demo: boolean;
  page_token: string;
  person: string;
  version: string;
}

/** GETs JSON. Throws Refused with the server's sentence, or ours where it cannot be reached. */
export async function get<T>(path: string, signal?: AbortSignal): Promise<T> {
  return bodyOf<T>(await ask(path, { headers: { accept: "application/json" } }, signal));
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

/** DELETEs; what is not there any more is as good as deleted. */
export async function remove(path: string): Promise<void> {
  const { page_token } = await session();
  await ask(path, { method: "DELETE", headers: { "x-throughcure-token": page_token } });
}

let known: Promise<SessionInfo> | undefined;

/** Who is signed in here; asked once, and again after it could not be had. */
export function session(): Promise<SessionInfo> {
  known ??= get<SessionInfo>("/api/session").catch((error: unknown) => {
    known = undefined;
    throw error;
  });
  return known;
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

async function bodyOf<T>(response: Response): Promise<T> {
  if (!response.ok) throw await refusalOf(response);
  return (await response.json()) as T;
}

async function refusalOf(response: Response): Promise<Refused> {
  const body: unknown = await response.json().catch(() => null);
  return new Refused(response.status, sentenceOf(body));
}

function sentenceOf(body: unknown): string {
  if (typeof body === "object" && body !== null && "sentence" in body && typeof body.sentence === "string") {
    return body.sentence;
  }
  return "The program could not do this, and did not say why. Its own log says more.";
}
