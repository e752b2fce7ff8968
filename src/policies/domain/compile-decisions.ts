import type {
  FactType,
  PolicyDecision,
  PolicyDocument,
  PolicyFault,
  PolicyRule,
  PolicyTable,
} from '../policies.contract.js';
import { parseCell } from './cell-parser.js';
import { columnDomain } from './column-domain.js';
import type { CompiledCell, CompiledColumn, CompiledRule, CompiledTable } from './compiled-table.js';
import { namesIn, refuseLongNumbers } from './constants.js';
import { readOutcomes, typeOfRuleValue } from './outcome-values.js';
import { parseExpression, type Reach } from './parser.js';
import { compileCell } from './run-cell.js';
import { compileExpression, type Run } from './run-expression.js';
import { checkCell, staticType, typeOfExpression, type StaticType } from './static-types.js';
import { LIMITS, SyntaxFault, type Cell, type Expression } from './syntax.js';

/** A decision ready to run: a table, or one expression for its one outcome. */
export type CompiledDecision = { readonly id: string; readonly gives: ReadonlyMap<string, FactType> } & (
  | { readonly table: CompiledTable }
  /** `names`: everything that it reads. */
  | { readonly expression: Run; readonly text: string; readonly names: ReadonlySet<string> }
);

/** What names mean to one decision: everything declared, and the outcomes of decisions above it. */
interface Scope extends Reach {
  readonly types: ReadonlyMap<string, FactType>;
  /** Decision by outcome. */
  readonly givenBy: ReadonlyMap<string, string>;
  readonly parameters: ReadonlySet<string>;
}

interface ReadColumn {
  readonly place: number;
  readonly type: StaticType;
  readonly compiled: CompiledColumn;
}

/** Parses, checks and compiles every decision; faults are added to the list and their decisions left out. */
export function compileDecisions(document: PolicyDocument, faults: PolicyFault[]): CompiledDecision[] {
  const types = new Map<string, FactType>([
    ...Object.entries(document.facts),
    ...Object.entries(document.parameters).map(([name, { type }]) => [name, { type }] as const),
  ]);
  const givenBy = new Map<string, string>();
  const parameters = new Set(Object.keys(document.parameters));
  const compiled: CompiledDecision[] = [];
  for (const decision of document.decisions) {
    const scope = { names: new Set(types.keys()), types: new Map(types), givenBy: new Map(givenBy), parameters };
    const ready = new DecisionCompiler(decision, scope, faults).compile();
    if (ready) compiled.push(ready);
    for (const [name, type] of Object.entries(decision.gives)) {
      types.set(name, type);
      givenBy.set(name, decision.id);
    }
  }
  return compiled;
}

class DecisionCompiler {
  constructor(
    private readonly decision: PolicyDecision,
    private readonly scope: Scope,
    private readonly faults: PolicyFault[],
  ) {}

  compile(): CompiledDecision | undefined {
    const { id } = this.decision;
    const gives = new Map(Object.entries(this.decision.gives));
    if (this.decision.table) return { id, gives, table: this.table(this.decision.table) };
    const text = this.decision.expression;
    if (text === undefined) return undefined;
    const expression = this.expression(text, {});
    if (!expression) return undefined;
    this.checkOutcome(expression, [...gives.values()][0]);
    return { id, gives, expression: compileExpression(expression.tree), text, names: namesIn(expression.tree) };
  }

  private table(table: NonNullable<PolicyDecision['table']>): CompiledTable {
    const columns = new Map<string, ReadColumn>();
    for (const [id, text] of Object.entries(table.columns)) {
      const read = this.expression(text, { column: id });
      if (read) columns.set(id, this.column({ id, text, place: columns.size }, read));
    }
    const places = new Map(table.rules.map(({ id }, place) => [id, place]));
    const rules = table.rules.map((rule) => this.rule(table, rule, columns, places));
    const { hit, aggregate, otherwise, otherwiseBecause: because } = table;
    const gives = new Map(Object.entries(this.decision.gives));
    const names = new Set([...columns.values()].flatMap(({ compiled }) => [...namesIn(compiled.tree)]));
    for (const { cells } of rules) for (const { cell } of cells) namesIn(cell, names);
    return {
      decision: this.decision.id,
      hit,
      ...(aggregate === undefined ? {} : { aggregate }),
      columns: Array.from(columns.values(), ({ compiled }) => compiled),
      rules,
      precedence: precedenceOf(table, gives, rules),
      hasExceptions: rules.some(({ overrides }) => overrides.length > 0),
      gives,
      ...(otherwise && {
        otherwise: { outcomes: readOutcomes(gives, otherwise), ...(because === undefined ? {} : { because }) },
      }),
      readsDecisions: new Set([...names].flatMap((name) => this.scope.givenBy.get(name) ?? [])),
      readsParameters: new Set([...names].filter((name) => this.scope.parameters.has(name))),
    };
  }

  private column(
    { id, text, place }: { id: string; text: string; place: number },
    { tree, type }: { tree: Expression; type: StaticType },
  ): ReadColumn {
    const typeOf = (name: string): FactType | undefined => this.scope.types.get(name);
    const named = tree.kind === 'name' ? tree.name : undefined;
    return {
      place,
      type,
      compiled: {
        id,
        text,
        tree,
        run: compileExpression(tree),
        integer: named !== undefined && typeOf(named)?.type === 'integer',
        domain: columnDomain(tree, type, typeOf),
        ...(named === undefined ? {} : { name: named }),
      },
    };
  }

  private rule(
    table: PolicyTable,
    rule: PolicyRule,
    columns: ReadonlyMap<string, ReadColumn>,
    places: ReadonlyMap<string, number>,
  ): CompiledRule {
    const cells: CompiledCell[] = [];
    for (const [column, text] of Object.entries(rule.when)) {
      const of = columns.get(column);
      const cell = of && this.cell(text, of.type, { rule: rule.id, column });
      if (cell && text.trim() !== '-') cells.push({ column, place: of.place, text, cell, run: compileCell(cell) });
    }
    const { id, because, source } = rule;
    const types = Object.entries(this.decision.gives).map(
      ([name, type]) => [name, typeOfRuleValue(table, type)] as const,
    );
    return {
      id,
      cells,
      outcomes: readOutcomes(new Map(types), rule.then),
      overrides: (rule.overrides ?? []).flatMap((base) => places.get(base) ?? []),
      ...(because === undefined ? {} : { because }),
      ...(source === undefined ? {} : { source }),
    };
  }

  private expression(text: string, place: Partial<PolicyFault>): { tree: Expression; type: StaticType } | undefined {
    return this.guarded(place, () => {
      const tree = parseExpression(text, this.scope);
      return { tree, type: typeOfExpression(tree, this.typeOf) };
    });
  }

  private cell(text: string, type: StaticType, place: Partial<PolicyFault>): Cell | undefined {
    return this.guarded(place, () => {
      const values = type.kind === 'text' ? (type.values ?? []) : undefined;
      const cell = parseCell(text, values ? { names: this.scope.names, values } : this.scope);
      checkCell(cell, type, this.typeOf);
      refuseLongNumbers(cell);
      return cell;
    });
  }

  private readonly typeOf = (name: string): StaticType => {
    const type = this.scope.types.get(name);
    if (!type) throw new RangeError(`the parser let the unknown name ${name} through`);
    return type.list ? { kind: 'list', of: staticType(type), size: LIMITS.rules } : staticType(type);
  };

  private guarded<T>(place: Partial<PolicyFault>, work: () => T): T | undefined {
    try {
      return work();
    } catch (error) {
      if (!(error instanceof SyntaxFault)) throw error;
      const { from, to, detail } = error;
      this.faults.push({ decision: this.decision.id, ...place, from, to, detail });
      return undefined;
    }
  }

  private checkOutcome(read: { tree: Expression; type: StaticType }, type: FactType | undefined): void {
    if (!type || read.type.kind === 'null') return;
    const wanted = staticType(type);
    const fault = (detail: string): void => {
      this.faults.push({ decision: this.decision.id, from: read.tree.from, to: read.tree.to, detail });
    };
    if (wanted.kind !== read.type.kind) return fault('The expression gives another type than "gives" declares.');
    if (wanted.kind !== 'text' || !wanted.values) return;
    const given = read.type.kind === 'text' ? read.type.values : undefined;
    const outside = given?.filter((value) => !wanted.values?.includes(value)) ?? [];
    if (!given || outside.length > 0) {
      fault(`The expression can give ${outside.join(', ') || 'any text'}, which "gives" does not list.`);
    }
  }
}

/** Rules from the strongest to the weakest: by row, or by the place of their values among the declared ones, the first outcome first. */
function precedenceOf(
  { hit }: PolicyTable,
  gives: ReadonlyMap<string, FactType>,
  rules: readonly CompiledRule[],
): readonly number[] {
  const places = rules.map((_, place) => place);
  if (hit !== 'priority' && hit !== 'output order') return places;
  const listed = [...gives].flatMap(([name, type]) => (type.type === 'enum' ? [{ name, values: type.values }] : []));
  const rank = (place: number, { name, values }: (typeof listed)[number]): number => {
    const value = rules[place]!.outcomes.known.get(name);
    return typeof value === 'string' ? values.indexOf(value) : values.length;
  };
  return places.toSorted((a, b) => {
    for (const outcome of listed) {
      const by = rank(a, outcome) - rank(b, outcome);
      if (by !== 0) return by;
    }
    return a - b;
  });
}
