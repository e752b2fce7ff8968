import { EXACT_DIGITS, isLong } from './ordered-line.js';
import { compileExpression, type Lookup } from './run-expression.js';
import { SyntaxFault, type Cell, type CellTest, type Expression } from './syntax.js';
import { Day, Decimal, Unknown, type Known } from './values.js';

/** Names that an expression reads, each once; whatever is nested in it, of whatever kind. */
export function namesIn(part: unknown, found: Set<string> = new Set()): Set<string> {
  if (typeof part !== 'object' || part === null) return found;
  if (Array.isArray(part)) {
    for (const item of part) namesIn(item, found);
    return found;
  }
  if ('kind' in part && part.kind === 'name' && 'name' in part && typeof part.name === 'string') found.add(part.name);
  for (const inner of Object.values(part)) namesIn(inner, found);
  return found;
}

/** Whether an expression reads `?`, the value of its column. */
export function readsColumn(part: unknown): boolean {
  if (typeof part !== 'object' || part === null) return false;
  if (Array.isArray(part)) return part.some(readsColumn);
  return ('kind' in part && part.kind === 'column value') || Object.values(part).some(readsColumn);
}

/**
 * Value of an expression that reads nothing but parameters on a day; undefined where it reads anything else, a parameter without
 * a value yet, or comes to a value of a kind that has no atoms.
 */
export function constantValue(expression: Expression, parameters: Lookup): Known | undefined {
  const value: unknown = compileExpression(expression)(parameters);
  if (value instanceof Unknown) return undefined;
  return isScalar(value) ? value : undefined;
}

function isScalar(value: unknown): value is Known {
  return value === null || typeof value !== 'object' || value instanceof Decimal || value instanceof Day;
}

/** Numbers and dates at which a cell may change its mind; undefined where they cannot be told. */
export function endsOfCell(cell: Cell, parameters: Lookup): Known[] | undefined {
  return cell.kind === 'any' ? [] : endsOfTests(cell.tests, parameters);
}

function endsOfTests(tests: readonly CellTest[], parameters: Lookup): Known[] | undefined {
  const ends: Known[] = [];
  for (const test of tests) {
    const found = endsOfTest(test, parameters);
    if (!found) return undefined;
    ends.push(...found);
  }
  return ends;
}

function endsOfTest(test: CellTest, parameters: Lookup): Known[] | undefined {
  switch (test.kind) {
    case 'equals':
      return test.value.kind === 'list' ? constants(test.value.items, parameters) : constants([test.value], parameters);
    case 'compare':
      return constants([test.value], parameters);
    case 'interval':
      return constants([test.low, test.high], parameters);
    case 'condition':
      return endsOfCondition(test.value, parameters);
    default:
      return undefined;
  }
}

function constants(parts: readonly Expression[], parameters: Lookup): Known[] | undefined {
  const found: Known[] = [];
  for (const part of parts) {
    const value = readsColumn(part) ? undefined : constantValue(part, parameters);
    if (value === undefined) return undefined;
    found.push(value);
  }
  return found;
}

/** Ends of a condition that only compares `?` itself with constants, in as many ways as it likes. */
function endsOfCondition(condition: Expression, parameters: Lookup): Known[] | undefined {
  if (!readsColumn(condition)) return constantValue(condition, parameters) === undefined ? undefined : [];
  switch (condition.kind) {
    case 'column value':
      return [];
    case 'and':
    case 'or': {
      const [left, right] = [endsOfCondition(condition.left, parameters), endsOfCondition(condition.right, parameters)];
      return left && right && [...left, ...right];
    }
    case 'comparison': {
      const { left, right } = condition;
      if (left.kind === 'column value') return constants([right], parameters);
      return right.kind === 'column value' ? constants([left], parameters) : undefined;
    }
    case 'between': {
      const { value, low, high } = condition;
      return value.kind === 'column value' ? constants([low, high], parameters) : undefined;
    }
    case 'in':
      return condition.value.kind === 'column value' ? endsOfTests(condition.tests, parameters) : undefined;
    default:
      return undefined;
  }
}

/** Texts that a cell names as literals. */
export function textsIn(part: unknown, found: Set<string> = new Set()): Set<string> {
  if (typeof part !== 'object' || part === null) return found;
  if (Array.isArray(part)) {
    for (const item of part) textsIn(item, found);
    return found;
  }
  if ('kind' in part && part.kind === 'text' && 'text' in part && typeof part.text === 'string') found.add(part.text);
  for (const inner of Object.values(part)) textsIn(inner, found);
  return found;
}

/** Whether a cell only lists literals or tests them for equality, so that texts which it does not name are all alike to it. */
export function onlyNamesTexts(cell: Cell): boolean {
  if (cell.kind === 'any') return true;
  return cell.tests.every((test) => {
    if (test.kind === 'equals') return test.value.kind === 'text' || test.value.kind === 'null';
    return test.kind === 'compare' && test.sign === '!=' && ['text', 'null'].includes(test.value.kind);
  });
}

/**
 * Refuses numbers of more digits than an index can tell apart by their nearest double. @throws SyntaxFault
 */
export function refuseLongNumbers(part: unknown): void {
  if (typeof part !== 'object' || part === null) return;
  if (Array.isArray(part)) return part.forEach(refuseLongNumbers);
  if ('kind' in part && part.kind === 'number' && 'text' in part && 'from' in part && 'to' in part) {
    if (!isLong(new Decimal(String(part.text)))) return;
    throw new SyntaxFault(
      Number(part.from),
      Number(part.to),
      `A number in a table may have at most ${EXACT_DIGITS} digits; work longer ones out in a column of their own.`,
    );
  }
  for (const inner of Object.values(part)) refuseLongNumbers(inner);
}
