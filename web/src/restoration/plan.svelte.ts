// One restoration being planned: its document with the edits, and what the server last said of it.
import { GivenUp, get, post, Refused, remove } from "../lib/api";
import { date } from "../lib/dates";
import { picture } from "../picture/picture";
import type { Cut, Verdict } from "./answers";
import { type CaseDocument, type Choices, type Exposure, whole } from "./case";
import { Doing } from "./doing.svelte";
import { type Edited, hold } from "./exposures";
import { type Problem, problemOf } from "./fields";
import { newCase } from "./form";
import { keep, keptEdit } from "./kept";
import { Latest, type Precision, type Question } from "./latest";
import { cutOf } from "./pose";
import { Reasons } from "./reasons.svelte";
import { keptCase, type Made } from "./record";

/** POST /api/plan/verdict */
interface VerdictQuestion {
  document: CaseDocument;
  view: { plane: Cut; exposure: number; dark: boolean };
}

/** What a person who does not look at the page is told comes after so much quiet. */
const quiet_ms = 900;
/** After so much quiet a quick answer is asked for again, as well as it can be told. */
const settle_ms = 250;
const most_steps = 50;

export class Plan {
  document = $state.raw<CaseDocument>();
  answer = $state.raw<Verdict>();
  /** The exposure in hand that `answer` was given for: as it was asked, whatever has been edited since. */
  answered = $state.raw<{ index: number; exposure: Exposure }>();
  name = $state("");
  /** What the server says of a document that it cannot use. */
  problems = $state.raw<Problem[]>([]);
  /** What else went wrong. */
  trouble = $state("");
  /** Whether the answer shown is not that of the document yet, or only a quick one. */
  busy = $state(false);
  /** Whether the answer of the document was given up before it came. */
  stopped = $state(false);
  picked = $state(0);
  cut = $state<Cut>("mesiodistal");
  dark = $state(false);
  /** The practice's own light that was chosen, by its number. */
  light = $state<number>();
  /** Whether a light of the practice was taken for it by the page itself: that is done once. */
  lightTaken = false;
  /** Whether a move of the tip counts for all exposures from the same side: a hand has its habit. */
  alike = $state(true);
  /** What is said aloud, once the hand rests. */
  said = $state("");
  readonly reasons = new Reasons();
  /** How far the answer is that is being waited for. */
  readonly doing = new Doing();

  #before = $state.raw<CaseDocument[]>([]);
  #file: CaseDocument | undefined;
  #dragging = false;
  #settle: ReturnType<typeof setTimeout> | undefined;
  #say: ReturnType<typeof setTimeout> | undefined;
  #latest = new Latest<VerdictQuestion, Verdict>(
    async ({ question, precision }) => {
      const answer = await post<Verdict>("/api/plan/verdict", { ...question, precision });
      const { paper_picture: paper, ...rest } = answer;
      const checked = { ...rest, picture: picture(answer.picture) };
      return paper ? { ...checked, paper_picture: picture(paper) } : checked;
    },
    (answer, one, last) => this.#take(answer, one, last),
    (error) => this.#refused(error),
  );

  constructor(
    readonly id: string,
    /** Where its first state comes from. */
    private readonly read: () => Promise<{ name: string; document: CaseDocument }>,
  ) {}

  /** Whether there is a step to take back. */
  get changed(): boolean {
    return this.#before.length > 0;
  }

  /** Reads the case once; after that its edits stay in the page, and in this tab of the browser over a reload. */
  async open(): Promise<void> {
    if (this.document) return;
    const file = await this.read();
    this.name = file.name;
    this.#file = whole(file.document);
    // The last one from occlusal: all is placed by then, and the drawing shows how far it has set.
    const occlusal = this.#file.exposure.map((one) => one.from).lastIndexOf("occlusal");
    this.#inHand(this.#file, occlusal < 0 ? this.#file.exposure.length - 1 : occlusal);
    const edited = keptEdit(this.id, this.#file);
    if (edited) this.#before = [this.#file];
    this.#put(edited ?? this.#file);
  }

  /** Takes an edited document. */
  edit(document: CaseDocument): void {
    if (!this.document || document === this.document) return;
    this.#remember();
    this.#put(document);
  }

  /** Takes a document as a hand moves it. Until `drop` all of it is one step. */
  drag(document: CaseDocument): void {
    if (!this.document || document === this.document) return;
    if (!this.#dragging) this.#remember();
    this.#dragging = true;
    this.document = document;
    this.reasons.forget();
    this.#ask("drag");
  }

  /** Holds the light in another way. */
  hold(keys: Partial<Exposure>): void {
    if (this.document) this.drag(hold(this.document, this.picked, keys, this.alike));
  }

  /** The hand lets go: the next change is another step. */
  drop(): void {
    this.#dragging = false;
    if (this.#file && this.document) keep(this.id, this.#file, this.document);
  }

  /** One touch of a stepper. */
  step(keys: Partial<Exposure>): void {
    this.hold(keys);
    this.drop();
  }

  /** Takes an edited schedule, with the exposure that is in hand after it. */
  schedule(edited: Edited): void {
    if (!this.document || edited.document === this.document) return;
    this.#remember();
    this.#inHand(edited.document, edited.picked);
    this.#put(edited.document);
  }

  /** Takes an exposure in hand, and shows the cut that it is seen best in. */
  pick(index: number): void {
    if (!this.document?.exposure[index]) return;
    this.#inHand(this.document, index);
    this.#ask("full");
  }

  #inHand(document: CaseDocument, index: number): void {
    const exposure = document.exposure[index];
    this.picked = index;
    if (exposure) this.cut = cutOf(exposure);
  }

  show(view: { cut?: Cut; dark?: boolean }): void {
    const { cut = this.cut, dark = this.dark } = view;
    if (cut === this.cut && dark === this.dark) return;
    this.cut = cut;
    this.dark = dark;
    this.#ask("full");
  }

  /** Gives up the answer that is being worked out, until it is asked for again. */
  stop(): void {
    clearTimeout(this.#settle);
    this.#latest.drop();
    // Its own question then tells that it was given up.
    remove("/api/plan/open").catch((error: unknown) => this.#refused(error));
  }

  /** Asks for what was given up. */
  again(): void {
    this.#ask("full");
  }

  undo(): void {
    const before = this.#before.at(-1);
    if (!before) return;
    this.#before = this.#before.slice(0, -1);
    this.#put(before);
  }

  /** Back to what the file says; that too can be undone. */
  revert(): void {
    if (this.#file) this.edit(this.#file);
  }

  #put(document: CaseDocument): void {
    this.#dragging = false;
    this.document = document;
    this.picked = Math.max(0, Math.min(this.picked, document.exposure.length - 1));
    this.reasons.forget();
    this.#ask("drag");
  }

  #remember(): void {
    if (this.document) this.#before = [...this.#before, this.document].slice(-most_steps);
  }

  /** Asks about the document as it is now; after a quick answer as well as it can be told. */
  #ask(precision: Precision): void {
    if (!this.document) return;
    if (!this.#dragging && this.#file) keep(this.id, this.#file, this.document);
    clearTimeout(this.#settle);
    clearTimeout(this.#say);
    this.reasons.hold();
    this.busy = true;
    this.stopped = false;
    this.doing.begin();
    const view = { plane: this.cut, exposure: this.picked, dark: this.dark };
    this.#latest.ask({ question: { document: this.document, view }, precision });
    if (precision === "drag") this.#settle = setTimeout(() => this.#ask("full"), settle_ms);
  }

  #take(answer: Verdict, { question, precision }: Question<VerdictQuestion>, last: boolean): void {
    const index = question.view.exposure;
    const exposure = question.document.exposure[index];
    this.answer = answer;
    this.answered = exposure && { index, exposure };
    this.problems = [];
    this.trouble = "";
    if (!last || precision === "drag") return;
    this.busy = false;
    this.doing.end();
    this.#say = setTimeout(() => {
      this.said = answer.sentence;
    }, quiet_ms);
    if (this.document) this.reasons.soon(this.document);
  }

  #refused(error: unknown): void {
    this.busy = false;
    this.doing.end();
    clearTimeout(this.#settle);
    if (error instanceof GivenUp) {
      this.stopped = true;
      return;
    }
    const sentence = error instanceof Error ? error.message : String(error);
    const wrong = error instanceof Refused && error.status === 422;
    const lines = wrong ? sentence.split("\n").filter((line) => line.trim() !== "") : [];
    this.problems = lines.map(problemOf);
    this.trouble = wrong ? "" : sentence;
  }
}

const kept = new Map<string, Plan>();

/** The plan of a restoration, with the edits made since the page was loaded. */
export function planOf(id: string): Plan {
  return once(id, () => get(`/api/restorations/${encodeURIComponent(id)}`));
}

/** The plan of a case that no file holds yet. */
export function newPlan(): Plan {
  return once(newName, async () => ({
    name: "New case",
    document: newCase(await get<Choices>("/api/choices")),
  }));
}

/** The plan of the case that was kept with a restoration on record; the record stays as it is. */
export function madePlan(id: number): Plan {
  return once(`restoration ${id} `, async () => {
    const kept = await get<{ record: Made }>(`/api/records/restoration/${id}`);
    const document = keptCase(kept.record);
    if (!document)
      throw new Error("This restoration was recorded without a case that this program can open.");
    return { name: `Tooth ${kept.record.tooth}, as recorded on ${date(kept.record.placed_at)}`, document };
  });
}

/** No file's name has a space at its end. */
const newName = "new case ";

function once(id: string, read: () => Promise<{ name: string; document: CaseDocument }>): Plan {
  const plan = kept.get(id) ?? new Plan(id, read);
  kept.set(id, plan);
  return plan;
}
