// The kinds of records that a page of setting up shows, read together, and again after a change.

import { all, type Kept } from "./records";

export class Book<Kind extends string> {
  rows = $state.raw<Record<Kind, readonly Kept[]>>();
  trouble = $state("");
  readonly kinds: readonly Kind[];

  constructor(...kinds: readonly Kind[]) {
    this.kinds = kinds;
  }

  read = async (): Promise<void> => {
    try {
      const read = await Promise.all(this.kinds.map(async (kind) => [kind, await all(kind)] as const));
      this.rows = Object.fromEntries(read) as unknown as Record<Kind, readonly Kept[]>;
      this.trouble = "";
    } catch (error) {
      this.trouble = error instanceof Error ? error.message : String(error);
    }
  };
}
