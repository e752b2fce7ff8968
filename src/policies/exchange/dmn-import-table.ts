import type { Element } from '@xmldom/xmldom';
import type { FactType, OutcomeScalar, PolicyRule, PolicyTable } from '../policies.contract.js';
import { own, type DmnSource } from './dmn-source.js';
import type { DmnTypes } from './dmn-types.js';
import { hitFromDmn, unquoted } from './dmn-vocabulary.js';
import { ANY } from './plain-tables.js';

export interface ReadTable {
  readonly gives: Readonly<Record<string, FactType>>;
  readonly table: PolicyTable;
}

interface Output {
  readonly name: string;
  readonly type: FactType;
  readonly clause: Element;
}

const AGGREGATES = ['sum', 'min', 'max', 'count'] as const;

/** Reads one decision table. What it cannot take over it says to the source; the table is then undefined. */
export class TableReader {
  private readonly before: number;

  constructor(
    private readonly source: DmnSource,
    private readonly types: DmnTypes,
    /** Name and declared type of the decision, for a table with one output. */
    private readonly decision: { readonly name: string; readonly typeRef: string | null },
  ) {
    this.before = source.faults.length;
  }

  read(table: Element): ReadTable | undefined {
    const children = this.source.children(table);
    const named = (name: string): Element[] => children.filter(({ localName }) => localName === name);
    for (const child of children) {
      if (['input', 'output', 'annotation', 'rule'].includes(child.localName ?? '')) continue;
      if (['description', 'extensionElements'].includes(child.localName ?? '')) continue;
      this.source.refuse(child, `"${child.localName}" has no place in a table here.`);
    }
    const hit = this.hit(table);
    const columns = this.columns(named('input'));
    const outputs = named('output').flatMap((clause, _, all) => this.output(clause, all.length > 1, named('rule')));
    const annotations = named('annotation').map((annotation) => annotation.getAttribute('name') ?? '');
    if (hit === undefined || outputs.length === 0 || this.failed()) return undefined;
    const rows = named('rule').map((rule, index) =>
      this.rule(rule, { index, columns: Object.keys(columns), outputs, annotations }),
    );
    if (this.failed()) return undefined;
    return { gives: this.gives(outputs, rows, hit), table: this.assembled(table, { hit, columns, outputs, rows }) };
  }

  private failed(): boolean {
    return this.source.faults.length > this.before;
  }

  private hit(table: Element): Pick<PolicyTable, 'hit' | 'aggregate'> | undefined {
    const hit = own(table, 'hit') ?? hitFromDmn(table.getAttribute('hitPolicy'));
    const aggregate = table.getAttribute('aggregation')?.toLowerCase();
    const known = AGGREGATES.find((name) => name === aggregate);
    if (hit === undefined || (aggregate !== undefined && known === undefined)) {
      this.source.refuse(
        table,
        `The hit policy "${table.getAttribute('hitPolicy') ?? ''} ${aggregate ?? ''}" is not known.`,
      );
      return undefined;
    }
    // Safe: an own hit was written by the exporter; a document that says anything else is refused when it is compiled.
    return { hit: hit as PolicyTable['hit'], ...(known === undefined ? {} : { aggregate: known }) };
  }

  private columns(inputs: readonly Element[]): Record<string, string> {
    const columns: Record<string, string> = {};
    for (const input of inputs) {
      const expression = this.source.children(input).find(({ localName }) => localName === 'inputExpression');
      const text = this.source.textOf(expression);
      if (text === undefined || text === '') {
        this.source.refuse(input, 'This column says nothing that it reads; give it an input expression.');
        continue;
      }
      if (this.source.children(input).some(({ localName }) => localName === 'inputValues'))
        this.source.notice(
          input,
          `The values allowed in the column "${text}" were left out; the type of its fact decides.`,
        );
      const label = input.getAttribute('label')?.trim();
      columns[freeKey(columns, label === undefined || label === '' ? text : label)] = text;
    }
    return columns;
  }

  private output(clause: Element, several: boolean, rules: readonly Element[]): Output[] {
    const name = several ? (clause.getAttribute('name') ?? '') : this.decision.name;
    if (name === '') {
      this.source.refuse(clause, 'Each of several outputs needs a name.');
      return [];
    }
    const reference = clause.getAttribute('typeRef') ?? (several ? null : this.decision.typeRef);
    const declared = reference === null ? this.shown(clause, rules) : this.types.resolve(reference, clause);
    if (!declared) return [];
    const values = this.source.children(clause).find(({ localName }) => localName === 'outputValues');
    const type =
      declared.type === 'enum' ? declared : this.types.narrowed(declared, this.source.textOf(values), clause);
    return [{ name, clause, type: type.type === 'text' ? this.closed(type, clause, rules) : type }];
  }

  /** The type of an output that names none, by what stands in its cells. */
  private shown(clause: Element, rules: readonly Element[]): FactType | undefined {
    const texts = this.givenTexts(clause, rules).filter((text) => text !== 'null');
    const types: readonly FactType[] = [{ type: 'boolean' }, { type: 'decimal' }, { type: 'date' }, { type: 'text' }];
    const found =
      texts.length === 0
        ? undefined
        : types.find((type) => texts.every((text) => literalValue(type, text) !== undefined));
    if (!found)
      this.source.refuse(clause, 'This output names no type, and its cells are not all of one; give it a type.');
    return found;
  }

  private givenTexts(clause: Element, rules: readonly Element[]): string[] {
    const place = siblingIndex(clause);
    const standard = this.standardText(clause);
    const given = rules.map((rule) => {
      const entries = this.source.children(rule).filter(({ localName }) => localName === 'outputEntry');
      return this.source.textOf(entries[place]) ?? '';
    });
    return standard === undefined ? given : [...given, standard];
  }

  /** A table can give no text but those in its cells, so that they are all there is. */
  private closed(type: FactType, clause: Element, rules: readonly Element[]): FactType {
    const texts = this.givenTexts(clause, rules).flatMap((text) =>
      /^"(?:[^"\\]|\\.)*"$/.test(text) ? [unquoted(text)] : [],
    );
    return texts.length === 0
      ? type
      : { ...(type.optional ? { optional: true } : {}), type: 'enum', values: [...new Set(texts)] };
  }

  private standardText(clause: Element): string | undefined {
    return this.source.textOf(this.source.children(clause).find(({ localName }) => localName === 'defaultOutputEntry'));
  }

  private rule(element: Element, at: RowPlace): ReadRow {
    const children = this.source.children(element);
    const named = (name: string): Element[] => children.filter(({ localName }) => localName === name);
    const [cells, results, notes] = [named('inputEntry'), named('outputEntry'), named('annotationEntry')];
    if (cells.length !== at.columns.length || results.length !== at.outputs.length)
      this.source.refuse(
        element,
        `This rule has ${cells.length} conditions and ${results.length} outcomes; the table has ${at.columns.length} and ${at.outputs.length}.`,
      );
    const when: Record<string, string> = {};
    for (const [i, column] of at.columns.entries()) {
      const text = this.source.textOf(cells[i]) ?? ANY;
      if (text !== ANY && text !== '') when[column] = text;
    }
    const then: Record<string, OutcomeScalar> = {};
    for (const [i, { name, type }] of at.outputs.entries()) then[name] = this.value(type, results[i]) ?? null;
    const said = at.annotations.map((name, i) => ({ name, text: this.source.textOf(notes[i]) ?? '' }));
    const source = said.find(({ name }) => name === 'source')?.text ?? '';
    const because = said
      .filter(({ name, text }) => name !== 'source' && text !== '')
      .map(({ text }) => text)
      .join('; ');
    const overrides = own(element, 'overrides');
    const rule: PolicyRule = {
      id: own(element, 'id') ?? element.getAttribute('id') ?? `rule ${at.index + 1}`,
      when,
      // oxlint-disable-next-line unicorn/no-thenable -- `then` is a key of the document format; a rule is never awaited.
      then,
      ...(overrides === undefined ? {} : { overrides: overrides.split(' ').map(decodeURIComponent) }),
      ...(because === '' ? {} : { because }),
      ...(source === '' ? {} : { source }),
    };
    return {
      rule,
      place: Number(own(element, 'place') ?? at.index),
      otherwise: own(element, 'otherwise') === 'true',
      ownId: own(element, 'id') !== undefined,
    };
  }

  private value(type: FactType, entry: Element | undefined): OutcomeScalar | undefined {
    const text = this.source.textOf(entry);
    const value = text === undefined ? undefined : literalValue(type, text);
    if (value === undefined && entry)
      this.source.refuse(
        entry,
        `The outcome "${text ?? ''}" is worked out, or not of its type; a table here gives plain values. Move it to an expression.`,
      );
    return value;
  }

  private assembled(element: Element, read: Assembly): PolicyTable {
    const { hit, columns, outputs } = read;
    const rows = read.rows.toSorted((a, b) => a.place - b.place);
    const last = rows.at(-1);
    const foreign = last && !last.ownId && hit.hit === 'first' && Object.keys(last.rule.when).length === 0;
    const rest = rows.find(({ otherwise }) => otherwise) ?? (foreign ? last : undefined);
    const standards = outputs.flatMap(({ name, type, clause }) => {
      const text = this.standardText(clause);
      if (text === undefined) return [];
      const value = givesLists(hit) ? listValue(type, text) : literalValue(type, text);
      if (value === undefined)
        this.source.refuse(clause, `The default outcome "${text}" is not a plain value of its type.`);
      return value === undefined ? [] : [[name, value] as const];
    });
    const otherwise = rest?.rule.then ?? (standards.length > 0 ? Object.fromEntries(standards) : undefined);
    const because = rest?.rule.because ?? own(element, 'otherwiseBecause');
    return {
      ...hit,
      columns,
      rules: rows.filter((row) => row !== rest).map(({ rule }) => rule),
      ...(otherwise === undefined ? {} : { otherwise }),
      ...(otherwise === undefined || because === undefined ? {} : { otherwiseBecause: because }),
    };
  }

  /** Outcomes that are null somewhere, that are lists, or that count are declared so. */
  private gives(outputs: readonly Output[], rows: readonly ReadRow[], hit: Assembly['hit']): Record<string, FactType> {
    const lists = givesLists(hit);
    return Object.fromEntries(
      outputs.map(({ name, type }) => {
        const empty = rows.some(({ rule }) => rule.then[name] === null);
        const counted: FactType = hit.aggregate === 'count' && type.type !== 'integer' ? { type: 'integer' } : type;
        return [name, { ...counted, ...(empty ? { optional: true } : {}), ...(lists ? { list: true } : {}) }];
      }),
    );
  }
}

interface RowPlace {
  readonly index: number;
  readonly columns: readonly string[];
  readonly outputs: readonly Output[];
  readonly annotations: readonly string[];
}

interface ReadRow {
  readonly rule: PolicyRule;
  readonly place: number;
  readonly otherwise: boolean;
  readonly ownId: boolean;
}

interface Assembly {
  readonly hit: Pick<PolicyTable, 'hit' | 'aggregate'>;
  readonly columns: Record<string, string>;
  readonly outputs: readonly Output[];
  readonly rows: readonly ReadRow[];
}

/** The value that a literal of the expression language stands for; undefined where it is none of the type. */
function literalValue(type: FactType, text: string): OutcomeScalar | undefined {
  if (text === 'null') return null;
  switch (type.type) {
    case 'enum':
    case 'text':
      return /^"(?:[^"\\]|\\.)*"$/.test(text) ? unquoted(text) : undefined;
    case 'boolean':
      return text === 'true' || text === 'false' ? text === 'true' : undefined;
    case 'integer':
      return /^-?\d{1,15}$/.test(text) ? Number(text) : undefined;
    case 'decimal':
      return /^-?\d+(\.\d+)?$/.test(text) ? text : undefined;
    case 'date':
      return /^date\("(\d{4}-\d{2}-\d{2})"\)$/.exec(text)?.[1];
  }
}

/** True where a table gives what all of its rules say, together. */
function givesLists({ hit, aggregate }: Assembly['hit']): boolean {
  return hit === 'rule order' || hit === 'output order' || (hit === 'collect' && aggregate === undefined);
}

/** A default outcome of a table that gives lists: a list as it stands, or the one value in a list. */
function listValue(type: FactType, text: string): OutcomeScalar[] | undefined {
  const inner = /^\[(.*)\]$/s.exec(text)?.[1];
  const parts =
    inner === undefined ? [text] : [...inner.matchAll(/"(?:[^"\\]|\\.)*"|[^,\s][^,]*/g)].map(([part]) => part.trim());
  const values = parts.map((part) => literalValue(type, part));
  return values.every((value) => value !== undefined) ? values : undefined;
}

function siblingIndex(clause: Element): number {
  let index = 0;
  for (let node = clause.previousSibling; node; node = node.previousSibling)
    if (node.nodeType === 1 && (node as Element).localName === clause.localName) index += 1;
  return index;
}

function freeKey(taken: Readonly<Record<string, string>>, wanted: string): string {
  let key = wanted;
  for (let n = 2; Object.hasOwn(taken, key); n += 1) key = `${wanted} ${n}`;
  return key;
}
