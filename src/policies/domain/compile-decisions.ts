import type { FactType, OutcomeValue, PolicyDecision, PolicyDocument, PolicyFault } from '../policies.contract.js';
import { parseCell } from './cell-parser.js';
import { parseExpression, type Reach } from './parser.js';
import { compileCell, type RunCell } from './run-cell.js';
import { compileExpression, type Run } from './run-expression.js';
import { outcomesOf, type CompiledCell, type CompiledRule, type CompiledTable, type Outcomes } from './run-table.js';
import { checkCell, staticType, typeOfExpression, type StaticType } from './static-types.js';
import { SyntaxFault, type Expression } from './syntax.js';
import { readTyped, type Known } from './values.js';

/** A decision ready to run: a table, or one expression for its one outcome. */
export type CompiledDecision = { readonly id: string; readonly gives: ReadonlyMap<string, FactType> } & (
  { readonly table: CompiledTable } | { readonly expression: Run }
);

/** What names mean to one decision: everything declared, and the outcomes of decisions above it. */
interface Scope extends Reach {
  readonly types: ReadonlyMap<string, FactType>;
}

/** Parses, checks and compiles every decision; faults are added to the list and their decisions left out. */
export function compileDecisions(document: PolicyDocument, faults: PolicyFault[]): CompiledDecision[] {
  const types = new Map<string, FactType>([
    ...Object.entries(document.facts),
    ...Object.entries(document.parameters).map(([name, { type }]) => [name, { type }] as const),
  ]);
  const compiled: CompiledDecision[] = [];
  for (const decision of document.decisions) {
    const scope = { names: new Set(types.keys()), types: new Map(types) };
    const ready = new DecisionCompiler(decision, scope, faults).compile();
    if (ready) compiled.push(ready);
    for (const [name, type] of Object.entries(decision.gives)) types.set(name, type);
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
    const expression = text === undefined ? undefined : this.expression(text, {});
    if (!expression) return undefined;
    this.checkOutcome(expression, [...gives.values()][0]);
    return { id, gives, expression: compileExpression(expression.tree) };
  }

  private table(table: NonNullable<PolicyDecision['table']>): CompiledTable {
    const columns = new Map<string, { place: number; run: Run; integer: boolean; type: StaticType }>();
    for (const [column, text] of Object.entries(table.columns)) {
      const read = this.expression(text, { column });
      if (!read) continue;
      const integer = read.tree.kind === 'name' && this.scope.types.get(read.tree.name)?.type === 'integer';
      columns.set(column, { place: columns.size, run: compileExpression(read.tree), integer, type: read.type });
    }
    const rules = table.rules.map((rule): CompiledRule => {
      const cells: CompiledCell[] = [];
      for (const [column, text] of Object.entries(rule.when)) {
        const of = columns.get(column);
        const run = of && this.cell(text, of.type, { rule: rule.id, column });
        if (run && text.trim() !== '-') cells.push({ column, place: of.place, text, run });
      }
      const { id, because, source } = rule;
      return {
        id,
        cells,
        outcomes: this.outcomes(rule.then),
        ...(because === undefined ? {} : { because }),
        ...(source === undefined ? {} : { source }),
      };
    });
    const { otherwise, otherwiseBecause: because } = table;
    return {
      decision: this.decision.id,
      hit: table.hit,
      columns: [...columns.values()],
      rules,
      ...(otherwise && {
        otherwise: { outcomes: this.outcomes(otherwise), ...(because === undefined ? {} : { because }) },
      }),
    };
  }

  private expression(text: string, place: Partial<PolicyFault>): { tree: Expression; type: StaticType } | undefined {
    return this.guarded(place, () => {
      const tree = parseExpression(text, this.scope);
      return { tree, type: typeOfExpression(tree, this.typeOf) };
    });
  }

  private cell(text: string, type: StaticType, place: Partial<PolicyFault>): RunCell | undefined {
    return this.guarded(place, () => {
      const values = type.kind === 'text' ? (type.values ?? []) : undefined;
      const cell = parseCell(text, values ? { names: this.scope.names, values } : this.scope);
      checkCell(cell, type, this.typeOf);
      return compileCell(cell);
    });
  }

  private readonly typeOf = (name: string): StaticType => {
    const type = this.scope.types.get(name);
    if (!type) throw new RangeError(`the parser let the unknown name ${name} through`);
    return staticType(type);
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

  private outcomes(then: Readonly<Record<string, OutcomeValue>>): Outcomes {
    const read = new Map<string, Known>();
    const types = new Map(Object.entries(this.decision.gives));
    for (const [name, type] of types) {
      const value = readTyped(type, then[name]);
      if ('value' in value) read.set(name, value.value);
    }
    return outcomesOf(read, types);
  }
}
