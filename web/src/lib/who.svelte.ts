// Who is signed in here, for what shows it: the header, and what a role may do.

import { type Role, type SessionInfo, watchSession } from "./api";

class Who {
  /** Undefined until it is known, and where nobody is. */
  info = $state.raw<SessionInfo>();
  /** The server said that nobody is signed in; counts each time. */
  refusals = $state(0);
}

export const who = new Who();

watchSession({
  signedIn(info) {
    who.info = info;
  },
  signedOut() {
    who.info = undefined;
    who.refusals += 1;
  },
});

const order: readonly Role[] = ["viewer", "assistant", "clinician", "lead"];

/** A lead who changed over by PIN: what only the lead may do waits for the password. */
export function wantsPassword(info: SessionInfo | undefined): boolean {
  return info?.person.role === "lead" && info.by_pin;
}

/** The role whose acts are open by this sign-in: a lead who came in by PIN does what a clinician does. */
export function actingRole(info: SessionInfo | undefined): Role {
  if (!info) return "viewer";
  return wantsPassword(info) ? "clinician" : info.person.role;
}

/** Whether whoever is signed in may do what asks for this role at least. What asks for the lead asks for a password too. */
export function may(least: Role, info: SessionInfo | undefined): boolean {
  return info !== undefined && order.indexOf(actingRole(info)) >= order.indexOf(least);
}
