// Tables as CSV (RFC 4180): comma, point, CRLF.

/** A header and rows. Text that a spreadsheet would take for a formula is made plain by an apostrophe. */
export function csv(header: readonly string[], rows: readonly (readonly (string | number)[])[]): string {
  return [header, ...rows].map((row) => `${row.map(cell).join(",")}\r\n`).join("");
}

function cell(value: string | number): string {
  if (typeof value === "number") return String(value);
  const plain = /^[=+\-@\t\r]/.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(plain) ? `"${plain.replaceAll('"', '""')}"` : plain;
}
