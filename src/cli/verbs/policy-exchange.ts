import { readFile, writeFile } from 'node:fs/promises';
import { formatPolicy } from '../../policies/analysis.contract.js';
import { fromDmn, toCsv, toDmn, toMarkdown, type PolicyHead } from '../../policies/exchange.contract.js';
import { compilePolicy, type PolicyDocument } from '../../policies/policies.contract.js';
import { readOptions } from '../command-options.js';
import { BadInput, DOCUMENT_BYTES, readJson } from '../json-input.js';
import { findingLine, onePolicy } from '../policy/policy-input.js';
import { EXIT, Misused, type Io } from '../verb.js';

const FORMATS = ['dmn', 'csv', 'md', 'json'] as const;
type Format = (typeof FORMATS)[number];

/** `policy export FILE|ID --as FORMAT`: a policy for other programs or for people. */
export async function exportPolicy(args: readonly string[], io: Io): Promise<number> {
  const { operands, options } = readOptions(args, ['--as', '--on', '--to']);
  const format = FORMATS.find((name) => name === (options.get('--as') ?? 'dmn'));
  if (format === undefined) throw new Misused(`--as is one of ${FORMATS.join(', ')}.`);
  const on = options.get('--on') ?? new Date().toISOString().slice(0, 10);
  if (!/^\d{4}-\d{2}-\d{2}$/.test(on)) throw new Misused('--on is a date like 2026-03-01.');
  const { policy } = await onePolicy(operands, io);
  const text = written(format, policy.document, on, io);
  const file = options.get('--to');
  if (file === undefined) io.out(text.trimEnd());
  else await writeFile(file, text);
  return EXIT.ok;
}

function written(format: Format, document: PolicyDocument, on: string, io: Io): string {
  switch (format) {
    case 'csv':
      return toCsv(document);
    case 'md':
      return toMarkdown(document);
    case 'json':
      return formatPolicy(document);
    case 'dmn': {
      const { xml, notices } = toDmn(document, on);
      for (const notice of notices) io.err(notice);
      return xml;
    }
  }
}

/** `policy import FILE.dmn`: a decision model as a policy; it is compiled, so that its faults are told at once. */
export async function importPolicy(args: readonly string[], io: Io): Promise<number> {
  const { operands, options } = readOptions(args, ['--head', '--to']);
  const [file] = operands;
  if (file === undefined || operands.length > 1) throw new Misused('Name one file with a decision model.');
  const headFile = options.get('--head');
  const head = headFile === undefined ? {} : ((await readJson(headFile, DOCUMENT_BYTES, io)) as Partial<PolicyHead>);
  const outcome = fromDmn(await textOf(file, io), head);
  if (!outcome.ok) {
    for (const { line, column, detail } of outcome.faults) io.err(`${file}:${line}:${column} ${detail}`);
    return EXIT.badInput;
  }
  for (const notice of outcome.notices) io.err(notice);
  const compiled = compilePolicy(outcome.document);
  if (!compiled.ok) {
    for (const { detail, ...at } of compiled.faults) io.err(findingLine(file, at, detail));
    return EXIT.badInput;
  }
  const text = formatPolicy(outcome.document);
  const to = options.get('--to');
  if (to === undefined) io.out(text.trimEnd());
  else await writeFile(to, text);
  return EXIT.ok;
}

async function textOf(file: string, io: Io): Promise<string> {
  const bytes = file === '-' ? await io.stdin() : await readFile(file).catch(() => undefined);
  if (bytes === undefined) throw new BadInput(file, [{ pointer: '#', detail: 'The file cannot be read.' }]);
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    throw new BadInput(file, [{ pointer: '#', detail: 'The file is not text in UTF-8; save it as UTF-8.' }]);
  }
}
