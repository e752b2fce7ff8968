import { readCsv, withoutLead, type CsvFault, type CsvRecord } from '../domain/csv-line.js';
import type { Parameter, PolicyDecision, PolicyDocument, PolicyTable } from '../policies.contract.js';
import { ruleRow, tableColumns, type CsvRow } from './csv-rows.js';

/** What was read, where each rule stands in the file, and what the file did not say. */
export type CsvImport =
  | {
      readonly ok: true;
      readonly document: PolicyDocument;
      readonly notices: readonly string[];
      /** Line of a rule, or of a decision's block; undefined where it did not come from the file. */
      readonly lineOf: (decision: string | undefined, rule: string | undefined) => number | undefined;
    }
  | { readonly ok: false; readonly faults: readonly CsvFault[] };

interface Block {
  readonly head: CsvRecord;
  readonly rows: readonly CsvRecord[];
}

/** Longest file that is read, in characters. */
const LONGEST = 5_000_000;

/**
 * Reads tables and parameters as `toCsv` writes them onto a version that they belong to. What a file of this kind has no place for (facts,
 * clocks, examples, how a table chooses) stays as it is in that version. The document still has to be compiled, which checks every cell.
 * @param base the version whose tables the file replaces
 */
export function fromCsv(text: string, base: PolicyDocument): CsvImport {
  if (text.length > LONGEST) return refused([{ line: 1, detail: `The file is longer than ${LONGEST} characters.` }]);
  const separator = /^\uFEFF?"?policy"?;/.test(text) ? ';' : ',';
  const { records, faults } = readCsv(text, separator);
  if (faults.length > 0) return refused(faults);
  const reading = new CsvReading(base);
  for (const block of blocksOf(records)) reading.take(block);
  return reading.end();
}

function refused(faults: readonly CsvFault[]): CsvImport {
  return { ok: false, faults };
}

/** Records that stand together; an empty line ends a block. */
function blocksOf(records: readonly CsvRecord[]): Block[] {
  const blocks: { head: CsvRecord; rows: CsvRecord[] }[] = [];
  let open: { head: CsvRecord; rows: CsvRecord[] } | undefined;
  for (const record of records) {
    if (record.fields.every((field) => field.trim() === '')) open = undefined;
    else if (open === undefined || startsAnew(record)) blocks.push((open = { head: record, rows: [] }));
    else open.rows.push(record);
  }
  return blocks;
}

/** Spreadsheets may drop empty lines; a block also begins with its word. */
function startsAnew({ fields: [first, second, third] }: CsvRecord): boolean {
  return first === 'decision' || (first === 'parameter' && second === 'from' && third === 'value');
}

class CsvReading {
  private readonly faults: CsvFault[] = [];
  private readonly tables = new Map<string, Partial<PolicyDecision>>();
  private readonly parameters = new Map<string, Parameter>();
  private readonly lines = new Map<string, number>();
  private caution: string | undefined;
  private known = false;

  constructor(private readonly base: PolicyDocument) {}

  take(block: Block): void {
    const [first] = block.head.fields;
    if (first === 'policy') this.policy(block);
    else if (first === 'decision') this.decision(block);
    else if (first === 'parameter') this.parameter(block);
    else
      this.refuse(
        block.head.line,
        `A block begins with "policy", "decision" or "parameter"; this one begins with "${first ?? ''}".`,
      );
  }

  end(): CsvImport {
    if (!this.known) this.refuse(1, 'The first line must begin with "policy" and the id of the policy.');
    if (this.faults.length > 0) return refused(this.faults);
    const { decisions, parameters } = this.base;
    const missing = decisions.filter(({ id }) => !this.tables.has(id)).map(({ id }) => id);
    const document: PolicyDocument = {
      ...this.base,
      ...(this.caution === undefined ? {} : { caution: this.caution }),
      decisions: decisions.map((decision) => ({ ...decision, ...this.tables.get(decision.id) })),
      parameters: { ...parameters, ...Object.fromEntries(this.parameters) },
    };
    const notices = [
      ...missing.map((id) => `The file says nothing of ${id}; it stays as it is.`),
      'Facts, clocks, examples and the way a table chooses are not in such a file; they stay as they are.',
    ];
    const lineOf = (decision = '', rule = ''): number | undefined =>
      this.lines.get(`${decision}\n${rule}`) ?? this.lines.get(`${decision}\n`);
    return { ok: true, document, notices, lineOf };
  }

  private policy({ head, rows }: Block): void {
    const [, id = ''] = head.fields;
    this.known = true;
    if (id !== this.base.id) this.refuse(head.line, `The file is of the policy "${id}", not of "${this.base.id}".`);
    for (const { line, fields } of rows) {
      if (fields[0] === 'caution') this.caution = withoutLead(fields[1] ?? '');
      else this.refuse(line, `"${fields[0] ?? ''}" is not known here; a caution may follow the policy.`);
    }
  }

  private decision({ head, rows: [header, ...rows] }: Block): void {
    const [, id = ''] = head.fields;
    const decision = this.base.decisions.find((one) => one.id === id);
    this.lines.set(`${id}\n`, head.line);
    if (decision === undefined) return this.refuse(head.line, `The policy has no decision "${id}".`);
    if (this.tables.has(id)) return this.refuse(head.line, `The decision ${id} stands in the file twice.`);
    if (header === undefined) return this.refuse(head.line, `The table of ${id} has no header.`);
    if (decision.table === undefined) return this.expression(decision, rows);
    const { columns, faults } = tableColumns(decision, header);
    for (const fault of faults) this.refuse(header.line, fault);
    if (faults.length > 0) return;
    const read = rows.map((record) => ({ line: record.line, row: ruleRow(decision, columns, record) }));
    this.table(decision, decision.table, read);
  }

  private table(
    decision: PolicyDecision,
    table: PolicyTable,
    read: readonly { readonly line: number; readonly row: CsvRow }[],
  ): void {
    for (const { line, row } of read) {
      for (const fault of row.faults) this.refuse(line, fault);
      const key = `${decision.id}\n${row.rule.id}`;
      if (this.lines.has(key)) this.refuse(line, `The rule ${row.rule.id} stands in this table twice.`);
      this.lines.set(key, line);
    }
    const rules = read.filter(({ row }) => row.rule.id !== 'otherwise').map(({ row }) => row.rule);
    const rest = read.find(({ row }) => row.rule.id === 'otherwise')?.row.rule;
    const { otherwise: _otherwise, otherwiseBecause: _because, ...kept } = table;
    this.tables.set(decision.id, {
      table: {
        ...kept,
        rules,
        ...(rest === undefined ? {} : { otherwise: rest.then }),
        ...(rest?.because === undefined ? {} : { otherwiseBecause: rest.because }),
      },
    });
  }

  private expression(decision: PolicyDecision, rows: readonly CsvRecord[]): void {
    const [row, second] = rows;
    const expression = withoutLead(row?.fields[1] ?? '');
    if (row?.fields[0] !== 'expression' || expression === '' || second !== undefined)
      return this.refuse(row?.line ?? 1, `${decision.id} is one expression: a line "expression" with its text.`);
    this.tables.set(decision.id, { expression });
  }

  private parameter({ rows }: Block): void {
    for (const { line, fields } of rows) {
      const [name = '', from = '', value = '', unit = '', because = '', source = ''] = fields.map(withoutLead);
      const base = this.base.parameters[name];
      if (base === undefined) {
        this.refuse(line, `The policy has no parameter "${name}".`);
        continue;
      }
      if (base.type === 'integer' && !/^-?\d+$/.test(value))
        this.refuse(line, `${name} is a whole number; "${value}" is none.`);
      if (!/^\d{4}-\d\d-\d\d$/.test(from)) this.refuse(line, `"${from}" is no date such as 2026-03-01.`);
      const before = this.parameters.get(name)?.values ?? [];
      const next = {
        from,
        value: base.type === 'integer' ? Number(value) : value,
        ...(because === '' ? {} : { because }),
        ...(source === '' ? {} : { source }),
      };
      this.parameters.set(name, {
        type: base.type,
        ...(unit === '' ? {} : { unit }),
        values: [...before, next],
      });
    }
  }

  private refuse(line: number, detail: string): void {
    this.faults.push({ line, detail });
  }
}
