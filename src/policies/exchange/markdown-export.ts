import type { PolicyDocument } from '../policies.contract.js';
import { plainTables } from './plain-tables.js';

/** A policy as a page of Markdown: caution, parameters by date, every table with its reasons and sources. */
export function toMarkdown(document: PolicyDocument): string {
  const version = document.version === undefined ? '' : `, version ${document.version}`;
  const parameters = Object.entries(document.parameters).flatMap(([name, { unit, values }]) =>
    values.map(({ from, value, because, source }) => [
      name,
      from,
      `${value}${unit === undefined ? '' : ` ${unit}`}`,
      because ?? '',
      source ?? '',
    ]),
  );
  const blocks = [
    `# ${plain(document.title)}`,
    `${plain(document.id)}${version}. Jurisdiction: ${plain(document.jurisdiction)}. Dated by: ${plain(document.governedBy)}, zone ${plain(document.zone)}. Money: ${document.money.currency}, rounded ${document.money.rounding}.`,
    `> ${plain(document.caution)}`,
    ...(parameters.length === 0
      ? []
      : ['## Parameters', table(['parameter', 'from', 'value', 'because', 'source'], parameters)]),
    ...plainTables(document).flatMap(({ title, hit, header, rows }) => [
      `## ${plain(title)}`,
      hit === 'expression' ? 'Worked out by one expression.' : `Hit policy: ${hit}.`,
      table(header, rows),
    ]),
  ];
  return `${blocks.join('\n\n')}\n`;
}

function table(header: readonly string[], rows: readonly (readonly string[])[]): string {
  const line = (cells: readonly string[]): string => `| ${cells.map(plain).join(' | ')} |`;
  return [line(header), `|${' --- |'.repeat(header.length)}`, ...rows.map(line)].join('\n');
}

/** Text that Markdown leaves as it is, on one line. */
function plain(text: string): string {
  return text.replaceAll(/[\\`*_[\]<>|#]/g, String.raw`\$&`).replaceAll(/\s+/g, ' ');
}
