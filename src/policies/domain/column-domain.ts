import type { FactType } from '../policies.contract.js';
import type { StaticType } from './static-types.js';
import type { Expression } from './syntax.js';
import { readNumber, type Day, type Decimal, type Known } from './values.js';

/** Values that a column can have before any fact is known, as far as the declarations tell. */
export type ColumnDomain = (
  | {
      readonly kind: 'ordered';
      readonly of: 'number' | 'date';
      /** Most digits after the point: 0 for whole numbers and dates; absent where any number can come. */
      readonly scale?: number;
      readonly min?: Decimal | Day;
      readonly max?: Decimal | Day;
    }
  /** `others`: values besides the listed ones can come (text that nothing declares). */
  | { readonly kind: 'set'; readonly values: readonly Known[]; readonly others: boolean }
  /** Values of a kind that has no atoms, such as lists and times of day. */
  | { readonly kind: 'none' }
) & {
  /** Whether the column can be null (known to be absent). */
  readonly nullable: boolean;
};

/** Booleans in the order of their codes. */
export const BOOLEANS: readonly Known[] = [true, false];

/**
 * Values that a column can have.
 * @param typeOf declared type of a fact, parameter or earlier outcome
 */
export function columnDomain(
  tree: Expression,
  type: StaticType,
  typeOf: (name: string) => FactType | undefined,
): ColumnDomain {
  const nullable = canBeNull(tree, typeOf);
  const declared = tree.kind === 'name' ? typeOf(tree.name) : undefined;
  if (declared) return declaredDomain(declared, nullable);
  switch (type.kind) {
    case 'number':
    case 'date':
      return { kind: 'ordered', of: type.kind, nullable, ...(type.kind === 'date' ? { scale: 0 } : {}) };
    case 'boolean':
      return { kind: 'set', values: BOOLEANS, others: false, nullable };
    case 'text':
      return { kind: 'set', values: type.values ?? [], others: !type.values, nullable };
    default:
      return { kind: 'none', nullable };
  }
}

function declaredDomain(type: FactType, nullable: boolean): ColumnDomain {
  if (type.list) return { kind: 'none', nullable };
  switch (type.type) {
    case 'enum':
      return { kind: 'set', values: type.values, others: false, nullable };
    case 'boolean':
      return { kind: 'set', values: BOOLEANS, others: false, nullable };
    case 'text':
      return { kind: 'set', values: [], others: true, nullable };
    case 'date':
      return { kind: 'ordered', of: 'date', scale: 0, nullable };
    case 'integer':
    case 'decimal': {
      const [min, max] = [readNumber(type.min), readNumber(type.max)];
      const scale = type.type === 'integer' ? 0 : type.scale;
      return {
        kind: 'ordered',
        of: 'number',
        nullable,
        ...(scale === undefined ? {} : { scale }),
        ...(min && { min }),
        ...(max && { max }),
      };
    }
  }
}

/** Functions of numbers that give a number wherever they are given numbers. */
const TOTAL: readonly string[] = ['min', 'max', 'abs', 'floor', 'ceiling', 'decimal', 'round half up'];

/** Whether an expression can come to null; yes where it cannot be told. */
function canBeNull(tree: Expression, typeOf: (name: string) => FactType | undefined): boolean {
  const inner = (part: Expression): boolean => canBeNull(part, typeOf);
  switch (tree.kind) {
    case 'number':
    case 'text':
    case 'boolean':
    case 'date':
      return false;
    case 'name':
      return typeOf(tree.name)?.optional ?? false;
    case 'negative':
      return inner(tree.of);
    case 'arithmetic':
      return inner(tree.left) || inner(tree.right) || (tree.sign === '/' && canBeZero(tree.right, typeOf));
    case 'comparison':
      return !['=', '!='].includes(tree.sign) && (inner(tree.left) || inner(tree.right));
    case 'and':
    case 'or':
      return inner(tree.left) || inner(tree.right);
    case 'if':
      return inner(tree.whenTrue) || inner(tree.whenFalse);
    case 'call':
      return !TOTAL.includes(tree.name) || tree.args.some(inner);
    default:
      return true;
  }
}

function canBeZero(tree: Expression, typeOf: (name: string) => FactType | undefined): boolean {
  if (tree.kind === 'number') return !(readNumber(tree.text)?.isZero() === false);
  const type = tree.kind === 'name' ? typeOf(tree.name) : undefined;
  if (type?.type !== 'integer' && type?.type !== 'decimal') return true;
  const [min, max] = [readNumber(type.min), readNumber(type.max)];
  return !(min?.greaterThan(0) ?? false) && !(max?.lessThan(0) ?? false);
}
