// Which one of a list is open to be corrected, what was said last, and where the keyboard goes when it closes. The list
// gives the button of each the id "<id>-<which>" and what was said "<id>-said".
import { tick } from "svelte";

/** What a form chooses from, read when the first one is opened: a Book of records. */
interface Choices {
  readonly rows: unknown;
  readonly trouble: string;
  read: () => Promise<void>;
}

export class Opened {
  open = $state<number | "new">();
  said = $state("");
  readonly #id: string;
  readonly #changed: () => Promise<void>;
  readonly #choices: Choices | undefined;

  constructor(id: string, changed: () => Promise<void>, choices?: Choices) {
    this.#id = id;
    this.#changed = changed;
    this.#choices = choices;
  }

  show = async (which: number | "new"): Promise<void> => {
    this.said = "";
    this.open = undefined;
    const choices = this.#choices;
    if (choices) {
      if (!choices.rows) await choices.read();
      this.said = choices.trouble;
      if (!choices.rows) return;
    }
    this.open = which;
  };

  done = async (words: string): Promise<void> => {
    await this.#changed();
    this.open = undefined;
    this.said = words;
    await this.#focus("said");
  };

  leave = async (): Promise<void> => {
    const which = this.open;
    this.open = undefined;
    await this.#focus(which);
  };

  async #focus(on: number | string | undefined): Promise<void> {
    await tick();
    document.getElementById(`${this.#id}-${on}`)?.focus();
  }
}
