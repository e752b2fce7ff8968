import { Builtin, whole } from './builtin.js';
import { equal, meets } from './compare.js';
import { Decimal, isDecimal } from './decimal.js';
import { textOf } from './value-text.js';
import { FeelFunction, isContext, isList, type Context, type FeelValue } from './kinds.js';

type List = readonly FeelValue[];

/** A function whose first parameter is a list. */
function ofList(name: string, more: string, work: (list: List, ...rest: List) => FeelValue): Builtin {
  return new Builtin(name).with(`list: list${more === '' ? '' : `, ${more}`}`, ([list, ...rest]) =>
    isList(list) ? work(list, ...rest) : null,
  );
}

/** Place of a position from the start (1 first) or the end (−1 last), its fraction dropped; undefined outside of the list. */
function placeOf(position: FeelValue | undefined, length: number): number | undefined {
  const at = isDecimal(position) ? whole(position.trunc()) : undefined;
  if (at === undefined || at === 0 || Math.abs(at) > length) return undefined;
  return at > 0 ? at - 1 : length + at;
}

function same(a: FeelValue, b: FeelValue): boolean {
  return equal(a, b) === true;
}

/** Items without those that are equal to an earlier one. */
export function distinct(list: List): FeelValue[] {
  const kept: FeelValue[] = [];
  for (const item of list) if (!kept.some((other) => same(item, other))) kept.push(item);
  return kept;
}

function flat(list: List): FeelValue[] {
  return list.flatMap((item) => (isList(item) ? flat(item) : [item]));
}

/** A sorted copy. @param precedes function of two items: whether the first comes before the second */
function sorted(list: List, precedes: FeelFunction): FeelValue {
  return list.toSorted((a, b) => (precedes.call([a, b]) === true ? -1 : precedes.call([b, a]) === true ? 1 : 0));
}

/** All (or any) of a list of truth values: decided by one that decides, open (null) where one is no truth value. */
function truth(name: string, deciding: boolean): Builtin {
  const run = ([list]: List): FeelValue => {
    if (!isList(list)) return null;
    if (list.includes(deciding)) return deciding;
    return list.every((item) => item === !deciding) ? !deciding : null;
  };
  return new Builtin(name).with('list: list', run).with('*list', run);
}

function replaced(list: List, match: FeelValue, item: FeelValue): FeelValue {
  if (match instanceof FeelFunction) {
    if (match.parameters?.length !== 2) return null;
    const chosen = list.map((old) => match.call([old, item]));
    return chosen.every((choice) => typeof choice === 'boolean')
      ? list.map((old, i) => (chosen[i] === true ? item : old))
      : null;
  }
  const place = placeOf(match, list.length);
  return place === undefined ? null : list.with(place, item);
}

function sublist(list: List, start: FeelValue, length: FeelValue): FeelValue {
  const place = placeOf(start, list.length);
  if (place === undefined) return null;
  if (length === null) return list.slice(place);
  const count = whole(length);
  return count === undefined || count < 0 || place + count > list.length ? null : list.slice(place, place + count);
}

function contextOf(list: List): FeelValue {
  const made = new Map<string, FeelValue>();
  for (const entry of list) {
    const [key, value] = isContext(entry) ? [entry.get('key'), entry.get('value')] : [];
    if (typeof key !== 'string' || value === undefined || made.has(key)) return null;
    made.set(key, value);
  }
  return made;
}

/** The context with one value put in, at the end of a path of keys. */
function put(context: Context, keys: List, value: FeelValue): FeelValue {
  const [key, ...rest] = keys;
  if (typeof key !== 'string') return null;
  const inner = context.get(key) ?? null;
  const placed = rest.length === 0 ? value : isContext(inner) ? put(inner, rest, value) : null;
  if (rest.length > 0 && placed === null) return null;
  return new Map([...context, [key, placed]]);
}

function merged(list: List): FeelValue {
  const contexts = list.filter(isContext);
  return contexts.length === list.length ? new Map(contexts.flatMap((context) => [...context])) : null;
}

function lists(name: string, work: (all: readonly List[]) => FeelValue): Builtin {
  return new Builtin(name).with('*lists', ([args]) =>
    isList(args) && !args.includes(null) ? work(args.map((arg) => (isList(arg) ? arg : [arg]))) : null,
  );
}

export const LIST_FUNCTIONS: readonly Builtin[] = [
  ofList('list contains', 'element: any', (list, element = null) => list.some((item) => same(item, element))),
  ofList('count', '', (list) => new Decimal(list.length)),
  truth('all', false),
  truth('any', true),
  ofList('sublist', 'start position: number, length: number?', (list, start = null, length = null) =>
    sublist(list, start, length),
  ),
  new Builtin('append').with('*items', ([all]) => {
    const [list = null, ...items] = isList(all) ? all : [];
    return list === null ? null : [...(isList(list) ? list : [list]), ...items];
  }),
  lists('concatenate', (all) => all.flat()),
  lists('union', (all) => distinct(all.flat())),
  ofList('insert before', 'position: number, newItem: any', (list, position, item = null) => {
    const place = placeOf(position, list.length);
    return place === undefined ? null : list.toSpliced(place, 0, item);
  }),
  ofList('remove', 'position: number', (list, position) => {
    const place = placeOf(position, list.length);
    return place === undefined ? null : list.toSpliced(place, 1);
  }),
  new Builtin('list replace')
    .with('list: list, position: number, newItem: any', ([list = null, match = null, item = null]) =>
      isList(list) ? replaced(list, match, item) : null,
    )
    .with('list: list, match: function, newItem: any', ([list = null, match = null, item = null]) =>
      isList(list) ? replaced(list, match, item) : null,
    ),
  ofList('reverse', '', (list) => list.toReversed()),
  ofList('index of', 'match: any', (list, match = null) =>
    list.flatMap((item, i) => (same(item, match) ? [new Decimal(i + 1)] : [])),
  ),
  ofList('distinct values', '', distinct),
  ofList('duplicate values', '', (list) =>
    distinct(list.filter((item) => list.filter((other) => same(item, other)).length > 1)),
  ),
  ofList('flatten', '', flat),
  ofList('sort', 'precedes: function', (list, precedes) =>
    precedes instanceof FeelFunction ? sorted(list, precedes) : null,
  ),
  new Builtin('not').with('negand: any', ([value]) => (typeof value === 'boolean' ? !value : null)),
  new Builtin('is').with('value1: any?, value2: any?', ([a = null, b = null]) => isSame(a, b)),
  new Builtin('context').with('entries: list', ([list]) => (isList(list) ? contextOf(list) : null)),
  new Builtin('context put')
    .with('context: context, key: string, value: any', ([context, key = null, value = null]) =>
      isContext(context) ? put(context, [key], value) : null,
    )
    .with('context: context, keys: list, value: any', ([context, keys, value = null]) =>
      isContext(context) && isList(keys) ? put(context, keys, value) : null,
    ),
  new Builtin('context merge').with('contexts: list', ([list]) => (isList(list) ? merged(list) : null)),
  new Builtin('get value').with('m: context, key: string', ([m, key]) =>
    isContext(m) ? (m.get(key as string) ?? null) : null,
  ),
  new Builtin('get entries').with('m: context', ([m]) =>
    isContext(m)
      ? Array.from(
          m,
          ([key, value]) =>
            new Map<string, FeelValue>([
              ['key', key],
              ['value', value],
            ]),
        )
      : null,
  ),
];

/** Same value in the same form: times with the same clock and zone, never a duration of years beside one of days. */
function isSame(a: FeelValue, b: FeelValue): boolean {
  if (a === null || b === null) return a === b;
  if (a.constructor !== b.constructor || meets(a, b) !== true) return false;
  return isList(a) || isContext(a) || textOf(a) === textOf(b);
}
