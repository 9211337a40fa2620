// The parts of setting up, with what each is for.

import type { SetupPart } from "../lib/views";

export const parts: readonly { part: SetupPart; path: string; name: string; what: string }[] = [
  {
    part: "rooms",
    path: "/setup/rooms",
    name: "Sites and rooms",
    what: "where lights are used, and how often they are checked",
  },
  {
    part: "people",
    path: "/setup/people",
    name: "People",
    what: "who may do what, and the codes by which they come in",
  },
  {
    part: "equipment",
    path: "/setup/equipment",
    name: "Equipment",
    what: "lights with their papers, radiometers, barriers",
  },
  {
    part: "materials",
    path: "/setup/materials",
    name: "Materials",
    what: "lots, scrape tests, light through a cured disc",
  },
  {
    part: "import",
    path: "/setup/import",
    name: "Bring records in",
    what: "readings, lights, radiometers, restorations and lots from a table",
  },
  {
    part: "policy",
    path: "/setup/policy",
    name: "Limits and intervals",
    what: "the values that the practice answers for, with their sources",
  },
  { part: "audit", path: "/setup/audit", name: "Audit log", what: "every change: who, when, before, after" },
  { part: "me", path: "/setup/me", name: "Your password and PIN", what: "how you sign in yourself" },
];
