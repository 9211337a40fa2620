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
  | { place: "not-yet"; name: string }
  | { place: "nowhere" };

/** The five places in the order of the strip; `ready` are those with something to show. */
export const places = [
  { name: "Today", path: "/today", ready: true },
  { name: "Lights", path: "/lights", ready: true },
  { name: "Restoration", path: "/restoration", ready: true },
  { name: "Look-back", path: "/look-back", ready: false },
  { name: "Setup", path: "/setup", ready: false },
] as const;

/** Where a case is begun that no file holds yet: a file's name, of one segment, cannot lead here. */
export const newCasePath = "/restoration/new/case";

/** The view of a path. The start shows the restorations: what the program is for. */
export function viewOf(path: string): View {
  const segments = path.split("/").filter((segment) => segment !== "");
  const first = `/${segments[0] ?? "restoration"}`;
  if (`/${segments.join("/")}` === newCasePath) return { place: "restoration", begun: true };
  if (first === "/check" && segments.length === 1) return { place: "check" };
  if (first === "/check" && segments.length === 2 && segments[1] === "waiting")
    return { place: "check", waiting: true };
  const place = places.find((one) => one.path === first);
  if (!place || segments.length > 2) return { place: "nowhere" };
  if (!place.ready) return { place: "not-yet", name: place.name };
  if (place.path === "/today") return segments.length === 1 ? { place: "today" } : { place: "nowhere" };
  const name = decoded(segments[1]);
  if (name === undefined) return { place: "nowhere" };
  if (place.path === "/lights") return name === "" ? { place: "lights" } : { place: "lights", light: name };
  return name === "" ? { place: "restoration" } : { place: "restoration", restoration: name };
}

/** A segment as it was named; "" for none, undefined where it is no text. */
function decoded(segment: string | undefined): string | undefined {
  try {
    return decodeURIComponent(segment ?? "");
  } catch {
    return undefined;
  }
}
