import { CLOCK_STARTS } from '../../kernel/clock-starts.js';
import type { PolicyFault } from '../policies.contract.js';
import { ROUNDINGS } from '../../kernel/rounding.js';
import { GROUNDS, PARTIES, RECEIPTS } from '../../kernel/vocabulary.js';

/** Where in the document a check is: words for the reader, and the decision, rule and column for the machine. */
interface Where {
  readonly path: readonly string[];
  readonly decision?: string;
  readonly rule?: string;
  readonly column?: string;
}
type Check = (value: unknown, where: Where, faults: PolicyFault[]) => void;
type Checks = Readonly<Record<string, Check>>;

/** Faults of shape: unknown or missing keys and values of the wrong kind. None means that the document reads as a PolicyDocument. */
export function shapeFaults(document: unknown): PolicyFault[] {
  const faults: PolicyFault[] = [];
  DOCUMENT(document, { path: [] }, faults);
  return faults;
}

function say(where: Where, detail: string, faults: PolicyFault[]): void {
  const { path, ...place } = where;
  faults.push({ ...place, detail: path.length === 0 ? detail : `${path.join(' \u203a ')}: ${detail}` });
}

function below(where: Where, step: string): Where {
  return { ...where, path: [...where.path, step] };
}

function isObject(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

const kind = (accept: (value: unknown) => boolean, wanted: string): Check => {
  return (value, where, faults) => {
    if (!accept(value)) say(where, `${wanted} is needed here.`, faults);
  };
};
const text = kind((v) => typeof v === 'string' && v.trim() !== '' && v.length <= 4000, 'Text');
const cellText = kind((v) => typeof v === 'string', 'Text');
const flag = kind((v) => typeof v === 'boolean', 'true or false');
const whole = kind((v) => Number.isSafeInteger(v), 'A whole number');
const length = kind(
  (v) => (Number.isSafeInteger(v) && Number(v) >= 0) || typeof v === 'string',
  'A whole number or a parameter name',
);
const isScalar = (v: unknown): boolean => v === null || ['string', 'number', 'boolean'].includes(typeof v);
const scalar = kind(isScalar, 'Text, a number, true, false or null');
const numeral = kind((v) => typeof v === 'string' || Number.isSafeInteger(v), 'A whole number, or a decimal as text');
const scalarOrList = kind(
  (v) => isScalar(v) || (Array.isArray(v) && v.every(isScalar)),
  'Text, a number, true, false, null, or a list of them',
);
const oneOf = (...values: readonly string[]): Check =>
  kind((v) => typeof v === 'string' && values.includes(v), `One of ${values.join(', ')}`);

function list(
  check: Check,
  name: (item: unknown, index: number) => Partial<Where> & { step: string },
  least = 0,
): Check {
  return (value, where, faults) => {
    if (!Array.isArray(value)) return say(where, 'A list is needed here.', faults);
    if (value.length < least) say(where, 'The list is empty.', faults);
    value.forEach((item: unknown, index) => {
      const { step, ...place } = name(item, index);
      check(item, { ...below(where, step), ...place }, faults);
    });
  };
}

const numbered = (_: unknown, index: number): { step: string } => ({ step: `no. ${index + 1}` });
const idOf = (item: unknown, index: number): string =>
  isObject(item) && typeof item['id'] === 'string' ? item['id'] : `no. ${index + 1}`;

function record(check: Check, place?: 'column'): Check {
  return (value, where, faults) => {
    if (!isObject(value)) return say(where, 'An object is needed here.', faults);
    for (const [key, item] of Object.entries(value)) {
      check(item, { ...below(where, key), ...(place ? { column: key } : {}) }, faults);
    }
  };
}

function object(need: Checks, may: Checks = {}): Check {
  return (value, where, faults) => {
    if (!isObject(value)) return say(where, 'An object is needed here.', faults);
    for (const key of Object.keys(need)) {
      if (!Object.hasOwn(value, key)) say(where, `"${key}" is missing.`, faults);
    }
    for (const [key, item] of Object.entries(value)) {
      const check = Object.hasOwn(need, key) ? need[key] : Object.hasOwn(may, key) ? may[key] : undefined;
      if (check) check(item, below(where, key), faults);
      else say(where, `"${key}" is not a key of this format.`, faults);
    }
  };
}

const FACT_BY_TYPE: Readonly<Record<string, Check>> = (() => {
  const type = text;
  const may = { optional: flag, ask: text, list: flag };
  return {
    enum: object({ type, values: list(text, numbered, 1) }, may),
    boolean: object({ type }, may),
    integer: object({ type }, { ...may, min: whole, max: whole }),
    decimal: object({ type }, { ...may, min: numeral, max: numeral, scale: whole }),
    date: object({ type }, may),
    text: object({ type }, may),
  };
})();

const factType: Check = (value, where, faults) => {
  const type = isObject(value) ? value['type'] : undefined;
  const check = typeof type === 'string' && Object.hasOwn(FACT_BY_TYPE, type) ? FACT_BY_TYPE[type] : undefined;
  if (check) check(value, where, faults);
  else say(where, `"type" must be one of ${Object.keys(FACT_BY_TYPE).join(', ')}.`, faults);
};

const parameter = object(
  {
    type: oneOf('integer', 'decimal'),
    values: list(object({ from: text, value: numeral }, { because: text, source: text }), numbered, 1),
  },
  { unit: text },
);

const rule = object(
  // oxlint-disable-next-line unicorn/no-thenable -- `then` is a key of the document format; the table of checks is never awaited.
  { id: text, when: record(cellText, 'column'), then: record(scalarOrList) },
  { overrides: list(text, numbered, 0), because: text, source: text },
);

const table = object(
  {
    hit: oneOf('unique', 'any', 'first', 'priority', 'rule order', 'output order', 'collect'),
    columns: record(cellText, 'column'),
    rules: list(rule, (item, index) => ({ step: idOf(item, index), rule: idOf(item, index) })),
  },
  { aggregate: oneOf('sum', 'min', 'max', 'count'), otherwise: record(scalarOrList), otherwiseBecause: text },
);

const decision = object({ id: text, gives: record(factType) }, { title: text, table, expression: cellText });

const clock = object(
  {
    id: text,
    title: text,
    ground: text,
    source: text,
    starts: oneOf(...CLOCK_STARTS),
    length,
    unit: oneOf('hours', 'calendar days', 'business days', 'months'),
    stops: oneOf(...CLOCK_STARTS),
    lapse: oneOf('barred', 'burden shifts', 'breach', 'internal'),
    owedBy: oneOf(...PARTIES, 'service'),
  },
  {
    week: oneOf('monday to friday', 'monday to saturday'),
    inclusive: flag,
    rolls: flag,
    grounds: list(oneOf(...GROUNDS), numbered, 1),
    receipts: list(oneOf(...RECEIPTS), numbered, 1),
    safetyOnly: flag,
    transports: list(text, numbered, 1),
    onceStarted: flag,
    laterOf: list(oneOf(...CLOCK_STARTS), numbered, 1),
    floor: length,
    pausedBy: oneOf(...CLOCK_STARTS),
    resumedBy: oneOf(...CLOCK_STARTS),
    waitInclusive: flag,
    afterWait: whole,
    extendedBy: oneOf(...CLOCK_STARTS),
    extension: length,
    repeatsEvery: length,
    warnDays: list(whole, numbered, 1),
  },
);

const example = object(
  { id: text, on: text, given: record(scalar), expect: record(scalarOrList) },
  { decisions: list(text, numbered, 1) },
);

const DOCUMENT = object(
  {
    format: oneOf('policy/1'),
    id: kind(
      (v) => typeof v === 'string' && /^[a-z0-9]+(-[a-z0-9]+)*$/.test(v),
      'A name in small letters, digits and hyphens',
    ),
    title: text,
    jurisdiction: kind(
      (v) => typeof v === 'string' && /^[A-Z]{2}(-[A-Z0-9]{1,3})?$/.test(v),
      'A country code like US or US-CA',
    ),
    caution: text,
    governedBy: text,
    zone: text,
    money: object({ currency: text, scale: whole, rounding: oneOf(...ROUNDINGS) }),
    facts: record(factType),
    parameters: record(parameter),
    decisions: list(decision, (item, index) => ({ step: idOf(item, index), decision: idOf(item, index) }), 1),
    examples: list(example, (item, index) => ({ step: idOf(item, index) })),
  },
  {
    version: kind((v) => Number.isSafeInteger(v) && Number(v) >= 1, 'A whole number from 1'),
    clocks: list(clock, (item, index) => ({ step: idOf(item, index) })),
  },
);
