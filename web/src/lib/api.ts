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

/** What the server says of this session. */
export interface SessionInfo {
  demo: boolean;
  page_token: string;
  person: string;
  version: string;
}

/** GETs JSON. Throws Refused with the server's sentence, or ours where it cannot be reached. */
export async function get<T>(path: string, signal?: AbortSignal): Promise<T> {
  let response: Response;
  try {
    response = await fetch(path, { headers: { accept: "application/json" }, signal: signal ?? null });
  } catch (error) {
    if (signal?.aborted) throw error;
    throw new Refused(
      0,
      "The program does not answer. Start “throughcure serve” again and open its new link.",
    );
  }
  const body: unknown = await response.json().catch(() => null);
  if (response.ok) return body as T;
  throw new Refused(response.status, sentenceOf(body));
}

function sentenceOf(body: unknown): string {
  if (typeof body === "object" && body !== null && "sentence" in body && typeof body.sentence === "string") {
    return body.sentence;
  }
  return "The program could not do this, and did not say why. Its own log says more.";
}
