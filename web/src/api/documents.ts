// What the program sends and takes, by the names that its own description gives: the types are made from it.

import type { components } from "./schema";

/** A document of the API. */
export type Doc<Name extends keyof components["schemas"]> = components["schemas"][Name];

/** One of a list of them. */
export type One<List> = List extends readonly (infer Each)[] ? Each : never;
