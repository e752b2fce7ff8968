import { csvLine } from '../domain/csv-line.js';
import type { PolicyDocument } from '../policies.contract.js';
import { plainTables } from './plain-tables.js';

/**
 * All tables of a policy as comma-separated values (RFC 4180: CRLF, quotes doubled), one block a table: a line with its
 * decision and hit policy, the header, the rules, an empty line. A text that a spreadsheet would run as a formula is
 * led in by an apostrophe.
 */
export function toCsv(document: PolicyDocument): string {
  const lines = [
    ['policy', document.id, document.title, ...(document.version === undefined ? [] : [`version ${document.version}`])],
    ['caution', document.caution],
    [],
  ];
  for (const { decision, title, hit, header, rows } of plainTables(document)) {
    lines.push(['decision', decision, title, hit], [...header], ...rows.map((row) => [...row]), []);
  }
  lines.push(['parameter', 'from', 'value', 'unit', 'because', 'source']);
  for (const [name, { unit, values }] of Object.entries(document.parameters)) {
    for (const { from, value, because, source } of values)
      lines.push([name, from, String(value), unit ?? '', because ?? '', source ?? '']);
  }
  return lines.map(csvLine).join('');
}
