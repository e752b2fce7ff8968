/**
 * A text as one field of comma-separated values (RFC 4180); text that a spreadsheet would run as a formula is led in by an apostrophe.
 * @param value numbers are written as they are, also below nought
 */
export function csvField(value: string | number): string {
  if (typeof value === 'number') return String(value);
  const safe = /^[=+\-@\t\r]/.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}

/** Fields as one line of comma-separated values with the line end that RFC 4180 asks for. */
export function csvRow(values: readonly (string | number)[]): string {
  return `${values.map(csvField).join(',')}\r\n`;
}
