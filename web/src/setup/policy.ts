// Values that the practice may choose, as people read them.

import type { Doc } from "../api/documents";
import { percent, text } from "../lib/numbers";

export type PolicyValue = Doc<"PolicyValue">;

/** "500 mW/cm²", "90 %", "3". */
export function valueWords(one: PolicyValue): string {
  if (/_share$|_chance$/.test(one.name)) return percent(one.number);
  const unit = one.unit.replace("cm2", "cm²").replace(/^days$/, one.number === 1 ? "day" : "days");
  return unit === "" ? text(one.number, 6) : `${text(one.number, 6)}\u00a0${unit}`;
}
