// Taking a check: what is asked, what is sent, and what can be said of it before the program has judged it.
import type { Doc, One } from "../api/documents";
import { percent, withUnit } from "../lib/numbers";

/** GET /api/check-sheet: all that is needed to take a check. Shares of its limits are of the baseline. */
export type Sheet = Doc<"CheckSheet">;
export type SheetLight = One<Sheet["lights"]>;
export type LightState = SheetLight["state"];

export interface Named {
  id: number;
  name: string;
}

export type Purpose = Doc<"Check">["purpose"];

export const purposes: readonly { value: Purpose; label: string }[] = [
  { value: "check", label: "A check" },
  { value: "acceptance", label: "Accepting the light" },
  { value: "before_cleaning", label: "Before cleaning" },
  { value: "after_cleaning", label: "After cleaning" },
  { value: "side_by_side", label: "Two radiometers side by side" },
  { value: "low_battery", label: "With a low battery" },
];

/** POST /api/checks. What was not looked at is null, never true. */
export type CheckBody = Required<Doc<"Check">>;

/** What the program says to it; `ask` is what is to be so when it is taken once more. */
export type CheckAnswer = Doc<"CheckAnswer">;
export type Ask = NonNullable<CheckAnswer["ask"]>;

/** What one saw of the tip, the barrier, the vents. */
export type TipLook = "clean and whole" | "not clean" | "damaged";
export type BarrierLook = "none" | "snug" | "seam";

/** A check while it is taken: undefined is what nobody looked at yet. */
export interface Draft {
  light: number;
  tip: number | undefined;
  radiometer: number | undefined;
  room: number;
  purpose: Purpose;
  mode: string | undefined;
  tipLook: TipLook | undefined;
  /** Asked only of a damaged tip: the other looks say it themselves. */
  damagedButClean: boolean | undefined;
  barrierLook: BarrierLook | undefined;
  barrier: number | undefined;
  vents_clear: boolean | undefined;
  disinfected: boolean | undefined;
  battery: number | undefined;
  second_of_press: number | undefined;
  note: string;
}

/** Levels by the bars that a light shows [0..1]: common practice, no source. */
export const batteryLevels = { full: 1, half: 0.5, low: 0.2 } as const;

/** The lights with what is overdue first, then by the day it is due; what is never due comes last. */
export function dueFirst(lights: readonly SheetLight[]): SheetLight[] {
  const rank = (one: SheetLight): string => `${one.overdue ? 0 : 1} ${one.due ?? "9999"} ${one.name}`;
  return [...lights].sort((a, b) => (rank(a) < rank(b) ? -1 : 1));
}

/** A check as it begins: what the room and the light settle is preset, every look is open. */
export function begin(sheet: Sheet, light: SheetLight): Draft {
  const room = sheet.rooms.find((one) => one.id === light.room);
  const radiometer =
    room?.radiometer ?? (sheet.radiometers.length === 1 ? sheet.radiometers[0]?.id : undefined);
  return {
    light: light.id,
    tip: light.tips.length === 1 ? light.tips[0]?.id : undefined,
    radiometer: radiometer ?? undefined,
    room: light.room,
    purpose: light.state === "not accepted" ? "acceptance" : "check",
    mode: undefined,
    tipLook: undefined,
    damagedButClean: undefined,
    barrierLook: undefined,
    barrier: undefined,
    vents_clear: undefined,
    disinfected: undefined,
    battery: undefined,
    second_of_press: undefined,
    note: "",
  };
}

/** In another room, with the radiometer that is kept there. */
export function inRoom(draft: Draft, sheet: Sheet, room: number): Draft {
  const radiometer = sheet.rooms.find((one) => one.id === room)?.radiometer ?? draft.radiometer;
  return { ...draft, room, radiometer };
}

/** The second of two side by side: all is as it was but the radiometer, which is chosen where there are several. */
export function onAnother(draft: Draft, sheet: Sheet): Draft {
  const others = sheet.radiometers.filter((one) => one.id !== draft.radiometer);
  return { ...draft, radiometer: others.length === 1 ? others[0]?.id : undefined };
}

/** The light to be checked next: one of the same room before others. */
export function nextDue(sheet: Sheet, light: SheetLight, now: Date): SheetLight | undefined {
  const due = dueFirst(sheet.lights).filter(
    (one) => one.id !== light.id && one.due !== null && !dueWords(one.due, now).startsWith("due in"),
  );
  return due.find((one) => one.room === light.room) ?? due[0];
}

/** What is to be read beside a reading of this purpose, for the two to tell something; "" for one that stands alone. */
export function pairWords(purpose: Purpose): string {
  const words: Partial<Record<Purpose, string>> = {
    side_by_side:
      "Read the light on the other radiometer too, with the same tip and mode, within half an hour: the two make a pair.",
    before_cleaning:
      "This one does not count. Then clean the tip and read it again, “After cleaning”, within a day: the two make a pair.",
    after_cleaning: "With one from before cleaning, of the same day, it makes a pair.",
    low_battery: "This one does not count. With a check on a full battery within a day it makes a pair.",
  };
  return words[purpose] ?? "";
}

/** Taken once more after what was asked: whoever takes it has said that it is so. */
export function once(draft: Draft, light: SheetLight): Draft {
  return {
    ...draft,
    tipLook: undefined,
    damagedButClean: true,
    barrierLook: "none",
    barrier: undefined,
    vents_clear: undefined,
    disinfected: undefined,
    battery: light.battery ? batteryLevels.full : undefined,
    note: "",
  };
}

/** A field that a check cannot do without, by the name of what is asked. */
export type Needed =
  | "tip"
  | "radiometer"
  | "tipLook"
  | "damagedButClean"
  | "barrierLook"
  | "barrier"
  | "mode";

/** What still has to be said before the number is asked. */
export function missing(draft: Draft, sheet: Sheet): Needed[] {
  const out: Needed[] = [];
  if (draft.tip === undefined) out.push("tip");
  if (draft.radiometer === undefined) out.push("radiometer");
  if (tipClean(draft) === undefined) out.push(draft.tipLook === "damaged" ? "damagedButClean" : "tipLook");
  if (draft.barrierLook === undefined) out.push("barrierLook");
  else if (draft.barrierLook !== "none" && draft.barrier === undefined && sheet.barriers.length > 1)
    out.push("barrier");
  if (!draft.mode?.trim()) out.push("mode");
  return out;
}

function tipClean(draft: Draft): boolean | undefined {
  if (draft.tipLook === "clean and whole") return true;
  return draft.tipLook === "not clean" ? false : draft.damagedButClean;
}

/** A tip that is not clean cannot be seen to be whole. */
function tipWhole(draft: Draft): boolean | null {
  if (draft.tipLook === "clean and whole") return true;
  return draft.tipLook === "damaged" ? false : null;
}

/** What is sent; undefined while something needed is missing. */
export function bodyOf(
  draft: Draft,
  sheet: Sheet,
  shown_mw_cm2: number,
  taken_at: string,
): CheckBody | undefined {
  const { tip, radiometer } = draft;
  const tip_clean = tipClean(draft);
  if (missing(draft, sheet).length > 0) return undefined;
  if (tip === undefined || radiometer === undefined || tip_clean === undefined) return undefined;
  const on = draft.barrierLook !== "none";
  const only = sheet.barriers.length === 1 ? sheet.barriers[0]?.id : undefined;
  return {
    light: draft.light,
    tip,
    radiometer,
    room: draft.room,
    taken_at,
    mode: draft.mode?.trim() ?? "",
    shown_mw_cm2,
    second_of_press: draft.second_of_press ?? null,
    barrier_on: on,
    barrier: on ? (draft.barrier ?? only ?? null) : null,
    tip_clean,
    tip_whole: tipWhole(draft),
    barrier_smooth: on ? draft.barrierLook === "snug" : null,
    vents_clear: draft.vents_clear ?? null,
    disinfected: draft.disinfected ?? null,
    battery: draft.battery ?? null,
    note: draft.note.trim() || null,
    purpose: draft.purpose,
  };
}

/** What the page can say by itself, from the sheet that it kept. */
export interface Guess {
  sentence: string;
  steps: readonly string[];
  share: number | null;
  baseline_mw_cm2: number | null;
  /** Under which it is too low, on its radiometer; null where only the practice's lower limit is known to hold. */
  limit_mw_cm2: number | null;
  ask: Ask | null;
}

/** The first reading of this light, tip and radiometer, as far as the last one tells it [mW/cm2]. */
export function baselineOf(
  light: SheetLight,
  body: Pick<CheckBody, "tip" | "radiometer" | "mode">,
): number | null {
  const { last } = light;
  if (!last || last.tip !== body.tip || last.radiometer !== body.radiometer) return null;
  if (light.mode !== null && light.mode !== body.mode) return null;
  return last.baseline_mw_cm2;
}

/** What the radiometer would show without the barrier; null where it is not known what the barrier lets through. */
function bare(sheet: Sheet, body: CheckBody): number | null {
  if (!body.barrier_on) return body.shown_mw_cm2;
  const pass = sheet.barriers.find((one) => one.id === body.barrier)?.pass;
  return pass ? body.shown_mw_cm2 / pass : null;
}

/** Below it a battery is low [0..1]: such a reading does not count. As the program has it. */
const low_battery = 0.3;

/** What it takes is not known. */
const seam = (body: CheckBody): boolean => body.barrier_on && body.barrier_smooth === false;

/** Why a reading says nothing of the light, whatever it shows; "" where it counts. */
function uncounted(body: CheckBody): string {
  if (body.purpose === "before_cleaning") return "it was taken before cleaning";
  if (!body.tip_clean) return "the tip was not clean";
  if (seam(body)) return "the barrier had a seam or a wrinkle over the tip";
  if (body.purpose === "low_battery") return "it was taken with a low battery";
  return body.battery !== null && body.battery < low_battery ? "the battery was low" : "";
}

/** What was seen that no number makes good, as the program says it; "" where nothing was. */
function seenFirst(body: CheckBody): string {
  const tip = body.tip_whole === false ? "The tip is damaged: do not cure with it. " : "";
  const vents = body.vents_clear === false ? "The vents are blocked: clear them before it is used. " : "";
  return tip + vents;
}

/** Only what needs no chart: the looks, the share of the baseline and the practice's limits. The program judges it later. */
export function guess(sheet: Sheet, light: SheetLight, body: CheckBody): Guess {
  const said = byItsNumber(sheet, light, body);
  const steps = [
    ...(body.tip_whole === false ? ["Replace the tip, and note that on the light's page."] : []),
    ...(body.vents_clear === false ? ["Clear the vents, and never spray into them: wipe instead."] : []),
  ];
  return { ...said, sentence: seenFirst(body) + said.sentence, steps: [...steps, ...said.steps] };
}

function byItsNumber(sheet: Sheet, light: SheetLight, body: CheckBody): Guess {
  const { lower_mw_cm2, upper_mw_cm2, alert_share, action_share } = sheet.limits;
  const baseline = baselineOf(light, body);
  const value = bare(sheet, body);
  const share = baseline !== null && value !== null ? value / baseline : null;
  const shown = withUnit(body.shown_mw_cm2, "mW/cm²", 5);
  const tells = `${light.name} shows ${shown}${share === null ? "" : `, ${percent(share)} of its baseline`}`;
  const limit_mw_cm2 = baseline === null ? null : (light.last?.limit_mw_cm2 ?? null);
  const common = { share, baseline_mw_cm2: baseline, limit_mw_cm2, steps: [], ask: null };
  const compared = value ?? body.shown_mw_cm2;
  const limit = (number: number): string => withUnit(number, "mW/cm²", 5);
  const why = uncounted(body);
  const meant = body.purpose === "before_cleaning" || body.purpose === "low_battery";
  const little =
    compared < lower_mw_cm2
      ? `below the limit of ${limit(lower_mw_cm2)}`
      : share !== null && share < action_share
        ? `less than ${percent(action_share)}, too little to cure with`
        : "";
  if (little && !meant) {
    const fair = body.tip_clean && !body.barrier_on && (body.battery === null || body.battery >= 1);
    const ask: Ask = {
      why: `It shows ${shown}, ${little}.`,
      barrier_on: false,
      clean_tip: true,
      full_battery: true,
    };
    return {
      ...common,
      sentence: `${tells}: ${little}.`,
      steps: [
        fair
          ? "Leave it out of use until the program has judged it."
          : "Take it once more before it is used.",
      ],
      ask: fair ? null : ask,
    };
  }
  if (why) {
    return {
      ...common,
      sentence: `${light.name} shows ${shown}. It does not count: ${why}.`,
      steps: meant ? [] : ["Take it again with a clean tip, a full battery, and no barrier or a smooth one."],
      share: null,
    };
  }
  if (compared > upper_mw_cm2) {
    return {
      ...common,
      sentence: `${tells}: above the caution of ${limit(upper_mw_cm2)}.`,
      steps: [
        "Look whether the mode and the radiometer are the usual ones.",
        "Mind the heat: shorter presses, with air.",
      ],
    };
  }
  if (share !== null && share < alert_share) return { ...common, sentence: `${tells}: to be watched.` };
  return { ...common, sentence: `${tells}.` };
}

/** "3 days overdue", "due today", "due in 4 days", by days of this device's clock. */
export function dueWords(due: string | null, now: Date): string {
  if (due === null) return "never due";
  const day = (at: Date): number => Date.UTC(at.getFullYear(), at.getMonth(), at.getDate()) / 86_400_000;
  const days = day(new Date(due)) - day(now);
  const many = (count: number): string => `${count} ${count === 1 ? "day" : "days"}`;
  if (days < 0) return `${many(-days)} overdue`;
  return days === 0 ? "due today" : `due in ${many(days)}`;
}

/** "?light=3" -> 3; undefined where no light is named. */
export function lightOf(query: string): number | undefined {
  const words = new URLSearchParams(query).get("light") ?? "";
  return /^[1-9][0-9]{0,15}$/.test(words) ? Number(words) : undefined;
}
