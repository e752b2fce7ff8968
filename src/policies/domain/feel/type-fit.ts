import type { TypeName } from '../syntax.js';
import { isContext, isList, kindOf, Range, type FeelValue } from './kinds.js';

const SPELLINGS: Readonly<Record<string, string>> = {
  dateTime: 'date and time',
  dayTimeDuration: 'days and time duration',
  yearMonthDuration: 'years and months duration',
};

/** Whether a value is of a named type. */
export function isOfType(value: FeelValue, type: TypeName): boolean {
  const name = SPELLINGS[type.name] ?? type.name;
  if (name === 'Any') return true;
  if (value === null) return name === 'Null';
  if (name === 'list')
    return isList(value) && (!type.of?.[0] || value.every((item) => isOfNullable(item, type.of?.[0])));
  if (name === 'context') {
    if (!isContext(value)) return false;
    return (type.members ?? []).every(
      (member) => value.has(member.name) && isOfNullable(value.get(member.name) ?? null, member.type),
    );
  }
  if (name === 'range' && value instanceof Range) {
    const [of] = type.of ?? [];
    return [value.low, value.high].every((end) => isOfNullable(end, of));
  }
  return kindOf(value) === name;
}

function isOfNullable(value: FeelValue, type: TypeName | undefined): boolean {
  return type === undefined || value === null || isOfType(value, type);
}

/** The value as a type takes it: a list of one stands for its item, and an item for the list of it; null where it does not fit. */
export function fitType(value: FeelValue, type: TypeName): FeelValue {
  if (value === null || isOfType(value, type)) return value;
  if (isList(value) && value.length === 1) {
    const [only = null] = value;
    if (only !== null && isOfType(only, type)) return only;
  }
  return type.name === 'list' && isOfType([value], type) ? [value] : null;
}
