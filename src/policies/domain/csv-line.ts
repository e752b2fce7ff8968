/** Spreadsheets take these first characters for the start of a formula; a cell such as `-` or `-5` is none. */
const FORMULA = /^(?:[=@\t\r]|[+-](?![\d.]*$))/;

/** One record of comma-separated values (RFC 4180) with its line end. A text that a spreadsheet would run is led in by an apostrophe. */
export function csvLine(fields: readonly string[]): string {
  return `${fields.map(field).join(',')}\r\n`;
}

function field(text: string): string {
  const safe = FORMULA.test(text) ? `'${text}` : text;
  return /[",\r\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}

/** The text that was meant: without the apostrophe that `csvLine` leads a formula in with. */
export function withoutLead(text: string): string {
  return text.startsWith("'") && FORMULA.test(text.slice(1)) ? text.slice(1) : text;
}

/** One record of a file with the line on which it begins, counted from 1. */
export interface CsvRecord {
  readonly line: number;
  readonly fields: readonly string[];
}

/** What is wrong with a file, and on which line. */
export interface CsvFault {
  readonly line: number;
  readonly detail: string;
}

interface Reading {
  readonly text: string;
  readonly separator: string;
  at: number;
  line: number;
}

/**
 * Reads comma-separated values as RFC 4180 has them; line ends may be LF as well, and a separator may be given, as programs of some
 * countries write semicolons. Lines without anything are records of one empty field.
 */
export function readCsv(
  text: string,
  separator = ',',
): { readonly records: readonly CsvRecord[]; readonly faults: readonly CsvFault[] } {
  const reading: Reading = { text: text.replace(/^\uFEFF/, ''), separator, at: 0, line: 1 };
  const records: CsvRecord[] = [];
  const faults: CsvFault[] = [];
  while (reading.at < reading.text.length) {
    const { line } = reading;
    const fields = readRecord(reading);
    if (typeof fields === 'string') return { records, faults: [...faults, { line, detail: fields }] };
    records.push({ line, fields });
  }
  return { records, faults };
}

/** The fields of the record at hand, or what is wrong with it. */
function readRecord(reading: Reading): string[] | string {
  const fields: string[] = [];
  for (;;) {
    const field = reading.text[reading.at] === '"' ? readQuoted(reading) : readPlain(reading);
    if (field === undefined) return 'A quotation mark opens here and is not closed.';
    fields.push(field);
    const next = reading.text[reading.at];
    if (next === reading.separator) {
      reading.at += 1;
      continue;
    }
    if (next === '\r' && reading.text[reading.at + 1] === '\n') reading.at += 1;
    else if (next !== undefined && next !== '\n' && next !== '\r')
      return 'Text stands behind a closing quotation mark; double a mark that is meant.';
    reading.at += 1;
    reading.line += 1;
    return fields;
  }
}

function readPlain(reading: Reading): string {
  const from = reading.at;
  while (reading.at < reading.text.length) {
    const letter = reading.text[reading.at] ?? '';
    if (letter === reading.separator || letter === '\n' || letter === '\r') break;
    reading.at += 1;
  }
  return reading.text.slice(from, reading.at);
}

function readQuoted(reading: Reading): string | undefined {
  let field = '';
  reading.at += 1;
  for (;;) {
    const end = reading.text.indexOf('"', reading.at);
    if (end < 0) return undefined;
    const part = reading.text.slice(reading.at, end);
    reading.line += part.split('\n').length - 1;
    field += part;
    reading.at = end + 1;
    if (reading.text[reading.at] !== '"') return field;
    field += '"';
    reading.at += 1;
  }
}
