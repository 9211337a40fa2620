// Where an address of the page leads: every view has one that can be kept, with nothing about a patient in it.

/** Where in the page an address leads. */
export type View =
  | { place: "today" }
  | { place: "check" }
  | { place: "check"; waiting: true }
  | { place: "lights" }
  | { place: "lights"; light: string }
  | { place: "restoration" }
  | { place: "restoration"; restoration: string }
  | { place: "restoration"; begun: true }
  | { place: "restoration"; made: number; itsCase: boolean }
  | { place: "look-back" }
  | { place: "look-back"; lookBack: number }
  | { place: "setup" }
  | { place: "setup"; part: SetupPart }
  | { place: "door"; at: Door }
  | { place: "nowhere" };

/** The five places in the order of the strip. */
export const places = [
  { name: "Today", path: "/today" },
  { name: "Lights", path: "/lights" },
  { name: "Restoration", path: "/restoration" },
  { name: "Look-back", path: "/look-back" },
  { name: "Setup", path: "/setup" },
] as const;

/** The parts of setting up, in the order in which a new practice goes through them. */
export const setupParts = [
  "rooms",
  "people",
  "equipment",
  "materials",
  "import",
  "policy",
  "audit",
  "me",
] as const;
export type SetupPart = (typeof setupParts)[number];

/** Where people come in: these views are for somebody who is not signed in yet. */
const doors = ["begin", "sign-in", "join"] as const;
export type Door = (typeof doors)[number];

/** Where a case is begun that no file holds yet: a file's name, of one segment, cannot lead here. */
export const newCasePath = "/restoration/new/case";

/** The view of a path. The start shows today. */
export function viewOf(path: string): View {
  const segments = path.split("/").filter((segment) => segment !== "");
  const [first = "today", second] = segments;
  if (`/${segments.join("/")}` === newCasePath) return { place: "restoration", begun: true };
  const made = /^restoration\/made\/([1-9]\d{0,14})(\/case)?$/.exec(segments.join("/"));
  if (made) return { place: "restoration", made: Number(made[1]), itsCase: made[2] !== undefined };
  if (segments.length > 2) return { place: "nowhere" };
  const name = decoded(second);
  if (name === undefined) return { place: "nowhere" };
  const door = doors.find((one) => one === first);
  if (door) return second === undefined ? { place: "door", at: door } : { place: "nowhere" };
  switch (first) {
    case "today":
      return second === undefined ? { place: "today" } : { place: "nowhere" };
    case "check":
      if (second === undefined) return { place: "check" };
      return second === "waiting" ? { place: "check", waiting: true } : { place: "nowhere" };
    case "lights":
      return second === undefined ? { place: "lights" } : { place: "lights", light: name };
    case "restoration":
      return second === undefined ? { place: "restoration" } : { place: "restoration", restoration: name };
    case "look-back":
      if (second === undefined) return { place: "look-back" };
      return /^[1-9]\d{0,14}$/.test(second)
        ? { place: "look-back", lookBack: Number(second) }
        : { place: "nowhere" };
    case "setup": {
      const part = setupParts.find((one) => one === second);
      if (part) return { place: "setup", part };
      return second === undefined ? { place: "setup" } : { place: "nowhere" };
    }
    default:
      return { place: "nowhere" };
  }
}

/** Where somebody wanted to go before they had to sign in: an address of a view of ours, else the start. */
export function wanted(query: string): string {
  const to = new URLSearchParams(query).get("to") ?? "/";
  // "//host" and "/\\host" would lead to another server.
  if (!/^\/(?![/\\])[^\s\\]*$/.test(to)) return "/";
  const view = viewOf(to.split(/[?#]/)[0] ?? "/");
  return view.place === "nowhere" || view.place === "door" ? "/" : to;
}

/** The address where one signs in and then goes on to where one wanted to go. */
export function signInFor(path: string, query: string): string {
  return path === "/" || path === "/today" ? "/sign-in" : `/sign-in?to=${encodeURIComponent(path + query)}`;
}

/** A segment as it was named; "" for none, undefined where it is no text. */
function decoded(segment: string | undefined): string | undefined {
  try {
    return decodeURIComponent(segment ?? "");
  } catch {
    return undefined;
  }
}
