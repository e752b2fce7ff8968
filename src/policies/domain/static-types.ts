import { POLICY_SIGNATURES, type PolicyKind } from './policy-functions.js';
import {
  capital,
  comparable,
  fault,
  joined,
  mustBe,
  ORDERED,
  sizeOf,
  staticType,
  WORDS,
  type StaticType,
  type TypeOf,
} from './static-kinds.js';
import { LIMITS, type Cell, type CellTest, type Expression, type Span } from './syntax.js';

export { staticType, type StaticType, type TypeOf };

/**
 * Type of an expression. Nothing is ever coerced: mixing kinds is a fault when the policy is compiled, not a silent no.
 * @param column type of `?`, where the expression is part of a cell
 * @throws SyntaxFault at the first place where the kinds do not fit
 */
export function typeOfExpression(expression: Expression, typeOf: TypeOf, column?: StaticType): StaticType {
  const type = new Checker(typeOf, column).type(expression);
  const instead = INSIDE_ONLY[type.kind];
  if (instead === undefined) return type;
  throw fault(
    expression,
    `This is ${WORDS[type.kind]}, and a column or outcome is one number, date, text or yes/no. ${instead}`,
  );
}

/** Kinds that may stand inside of an expression and not come out of it, and what to write instead. */
const INSIDE_ONLY: Partial<Record<StaticType['kind'], string>> = {
  days: 'Write (…).days for the number of days.',
  months: 'Write (…).months or (…).years for the number.',
  list: 'Test the values of a list with "in", "some" or "every".',
};

/** Checks every alternative of a cell against the type of its column. @throws SyntaxFault */
export function checkCell(cell: Cell, column: StaticType, typeOf: TypeOf): void {
  if (cell.kind === 'any') return;
  const checker = new Checker(typeOf, column);
  for (const test of cell.tests) {
    if (test.kind === 'equals' && column.kind === 'boolean' && !['boolean', 'null'].includes(test.value.kind)) {
      throw fault(test, 'On a yes/no column write true, false, or "? = …" to compare with something else.');
    }
    checker.test(test, column);
  }
}

class Checker {
  constructor(
    private readonly typeOf: TypeOf,
    private readonly column: StaticType | undefined,
    /** Turns of the loops around. */
    private readonly turns = 1,
  ) {}

  type(expression: Expression): StaticType {
    switch (expression.kind) {
      case 'number':
        return literalNumber(expression.text, expression);
      case 'text':
        return { kind: 'text', values: [expression.text], literal: true };
      case 'boolean':
      case 'date':
      case 'null':
        return { kind: expression.kind };
      case 'duration':
        return { kind: /^-?P[^T]*[YM]/.test(expression.text) ? 'months' : 'days' };
      case 'name':
      case 'local':
        return this.typeOf(expression.name);
      case 'column value':
        if (this.column) return this.column;
        throw fault(expression, '? stands for the value of a column and has a meaning only in a cell.');
      case 'negative':
        return this.oneOf(['number', 'days', 'months'], expression.of);
      case 'arithmetic':
        return this.arithmetic(expression);
      case 'comparison':
        comparable(expression.sign, this.type(expression.left), this.type(expression.right), expression);
        return { kind: 'boolean' };
      case 'and':
      case 'or':
        mustBe('boolean', this.type(expression.left), expression.left);
        return mustBe('boolean', this.type(expression.right), expression.right);
      case 'if':
        mustBe('boolean', this.type(expression.condition), expression.condition);
        return joined(this.type(expression.whenTrue), this.type(expression.whenFalse), expression);
      default:
        return this.further(expression);
    }
  }

  private further(expression: Expression): StaticType {
    switch (expression.kind) {
      case 'call':
        return this.call(expression);
      case 'list':
        return this.list(expression.items);
      case 'path':
        return this.part(expression);
      case 'between': {
        const value = this.type(expression.value);
        for (const end of [expression.low, expression.high]) comparable('<', value, this.type(end), end);
        return { kind: 'boolean' };
      }
      case 'in': {
        const value = this.type(expression.value);
        for (const test of expression.tests) this.test(test, value);
        return { kind: 'boolean' };
      }
      case 'some':
      case 'every':
        return this.quantified(expression);
      case 'range':
        throw fault(expression, 'An interval can stand alone in a cell or after "in", and nowhere else.');
      default:
        throw fault(expression, 'This is not part of the rule language.');
    }
  }

  test(test: CellTest, column: StaticType): void {
    switch (test.kind) {
      case 'equals':
        return this.equals(test, column);
      case 'compare':
        if (test.sign !== '!=' && test.value.kind === 'null') {
          throw fault(test, 'null has no order; write null or not(null) to test for it.');
        }
        return comparable(test.sign, column, this.type(test.value), test);
      case 'interval':
        comparable('<', column, this.type(test.low), test.low);
        return comparable('<', column, this.type(test.high), test.high);
      case 'condition':
        mustBe('boolean', this.type(test.value), test.value);
    }
  }

  private equals(test: Extract<CellTest, { kind: 'equals' }>, column: StaticType): void {
    const type = this.type(test.value);
    if (type.kind !== 'list' || column.kind === 'list') return comparable('=', column, type, test);
    if (type.of) comparable('=', column, type.of, test);
  }

  private arithmetic(expression: Extract<Expression, { kind: 'arithmetic' }>): StaticType {
    const [left, right] = [this.type(expression.left), this.type(expression.right)];
    const kind = ARITHMETIC[`${left.kind} ${expression.sign} ${right.kind}`];
    if (kind) return { kind };
    mustBe('number', left, expression.left);
    return mustBe('number', right, expression.right);
  }

  private oneOf(kinds: readonly StaticType['kind'][], expression: Expression): StaticType {
    const type = this.type(expression);
    return kinds.includes(type.kind) ? type : mustBe('number', type, expression);
  }

  private call(call: Extract<Expression, { kind: 'call' }>): StaticType {
    const signature = POLICY_SIGNATURES.get(call.name);
    if (!signature) throw fault(call, `${call.name}(…) is not a function of the rule language.`);
    const { takes, optional = 0, repeats, gives } = signature;
    const [least, most] = [takes.length - optional, repeats ? Infinity : takes.length];
    let first: StaticType | undefined;
    for (const [i, arg] of call.args.entries()) {
      const kind = takes[Math.min(i, takes.length - 1)];
      const type = kind ? this.argument(kind, arg, first) : this.type(arg);
      first ??= type;
    }
    if (call.args.length < least || call.args.length > most) {
      const wants = least === most ? `${least}` : most === Infinity ? `${least} or more` : `${least} or ${most}`;
      const values = wants === '1' ? 'value' : 'values';
      throw fault(call, `${call.name}(…) takes ${wants} ${values}; here are ${call.args.length}.`);
    }
    const result = gives ? ({ kind: gives } as const) : (first ?? { kind: 'number' });
    return result.kind === 'list' ? (result.of ?? { kind: 'null' }) : result;
  }

  /** Checks a value of a call, and gives its type; of a list where numbers are wanted, that of its items. */
  private argument(wanted: PolicyKind, arg: Expression, first: StaticType | undefined): StaticType {
    const type = this.type(arg);
    if (wanted === 'any') return type;
    if (wanted === 'list') return mustBe('list', type, arg);
    const item = type.kind === 'list' && (wanted === 'numbers' || wanted === 'same') ? (type.of ?? NUMBER) : type;
    if (wanted === 'numbers') return mustBe('number', item, arg);
    if (wanted !== 'same') return mustBe(wanted, item, arg);
    if (!ORDERED.includes(item.kind)) return mustBe('number', item, arg);
    return first ? mustBe(first.kind, item, arg) : item;
  }

  private list(items: readonly Expression[]): StaticType {
    let of: StaticType | undefined;
    for (const item of items) {
      const type = this.type(item);
      if (type.kind === 'list') throw fault(item, 'A list cannot stand in a list.');
      of = of ? joined(of, type, item, 'The values of a list are of one kind; here') : type;
    }
    return { kind: 'list', of, size: items.length };
  }

  private part({ of, name, from, to }: Extract<Expression, { kind: 'path' }>): StaticType {
    const { kind } = this.type(of);
    const parts = PARTS[kind] ?? [];
    if (parts.includes(name)) return NUMBER;
    const known = parts.length > 0 ? `its parts are ${parts.join(', ')}` : 'it has no parts';
    throw fault({ from, to }, `${capital(WORDS[kind])} has no part named ${name}; ${known}.`);
  }

  private quantified(expression: Extract<Expression, { kind: 'some' | 'every' }>): StaticType {
    const bound = new Map<string, StaticType>();
    const typeOf: TypeOf = (name) => bound.get(name) ?? this.typeOf(name);
    let { turns } = this;
    for (const { name, source, to } of expression.over) {
      if (to)
        throw fault(to, 'Write the values out as a list; counting from one to another is not part of the language.');
      const type = mustBe('list', new Checker(typeOf, this.column, turns).type(source), source);
      if (type.kind !== 'list') continue;
      bound.set(name, type.of ?? { kind: 'null' });
      turns *= Math.max(1, sizeOf(type));
    }
    if (turns > LIMITS.turns) {
      throw fault(expression, `This takes up to ${turns} turns; at most ${LIMITS.turns} are allowed.`);
    }
    const inside = new Checker(typeOf, this.column, turns);
    return mustBe('boolean', inside.type(expression.satisfies), expression.satisfies);
  }
}

const NUMBER: StaticType = { kind: 'number' };

/** Parts that can follow a point. */
const PARTS: Partial<Record<StaticType['kind'], readonly string[]>> = {
  date: ['year', 'month', 'day', 'weekday'],
  days: ['days', 'hours', 'minutes', 'seconds'],
  months: ['years', 'months'],
};

/** What arithmetic gives beside numbers: the kinds that go together. */
const ARITHMETIC: Readonly<Record<string, 'text' | 'date' | 'days' | 'months' | 'number'>> = {
  'text + text': 'text',
  'date + days': 'date',
  'date + months': 'date',
  'days + date': 'date',
  'months + date': 'date',
  'date - days': 'date',
  'date - months': 'date',
  'date - date': 'days',
  'days + days': 'days',
  'days - days': 'days',
  'months + months': 'months',
  'months - months': 'months',
  'days * number': 'days',
  'number * days': 'days',
  'days / number': 'days',
  'days / days': 'number',
  'months * number': 'months',
  'number * months': 'months',
  'months / number': 'months',
  'months / months': 'number',
};

function literalNumber(text: string, span: Span): StaticType {
  if (text.replace(/^0+|\./g, '').length > 34) throw fault(span, 'A number may have at most 34 digits.');
  return NUMBER;
}
