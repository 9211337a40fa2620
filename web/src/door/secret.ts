// What makes a password or a PIN good, as the server will say (NIST SP 800-63B, 5.1.1: length, and no mixture asked for).

export const passwordHint =
  "12 characters or more: four words that nobody would guess do well. Any characters; paste it from what keeps your passwords.";
export const pinHint = "6 digits or more, not a row such as 123456. It serves on a room’s device only.";

/** The time zone of this browser, as IANA names it. */
export function zoneHere(): string {
  return Intl.DateTimeFormat().resolvedOptions().timeZone || "UTC";
}

/** Every time zone that the browser knows of. */
export function zones(): string[] {
  return "supportedValuesOf" in Intl ? Intl.supportedValuesOf("timeZone") : [];
}

/** A code as it may have been typed: without the blanks around it. */
export const plainCode = (typed: string): string => typed.trim();
