/** What a list shows of anything: its address' last part, its name, or why it cannot be used. */
export interface Listed {
  id: string;
  name: string;
  problems: readonly string[];
}
