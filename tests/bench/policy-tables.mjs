// A made-up policy of four chained tables and claims for it, drawn with a fixed seed, so that every run measures the same.

/** Random numbers from 0 to before 1 (Park and Miller's minimal standard generator). */
export function drawer(seed) {
  let state = seed;
  return () => {
    state = (state * 48_271) % 2_147_483_647;
    return state / 2_147_483_647;
  };
}

const words = (prefix, count) => Array.from({ length: count }, (_, at) => `${prefix}${at + 1}`);
const FACTS = {
  component: { type: 'enum', values: words('part ', 8) },
  ground: { type: 'enum', values: words('ground ', 6) },
  severity: { type: 'enum', values: words('grade ', 5) },
  noted: { type: 'boolean' },
  packed: { type: 'boolean' },
  'days since delivery': { type: 'integer', min: 0, max: 3650 },
  'age months': { type: 'integer', min: 0, max: 120 },
  repairs: { type: 'integer', min: 0, max: 20 },
  'price paid': { type: 'decimal', min: '0', max: '5000', scale: 2 },
  'part price': { type: 'decimal', min: '0', max: '900', scale: 2 },
  'delivered on': { type: 'date' },
};
const TABLES = [
  {
    id: 'party',
    rules: 40,
    columns: ['component', 'ground', 'severity', 'noted', 'packed', 'days since delivery', 'age months', 'price paid'],
  },
  { id: 'remedy', rules: 24, columns: ['party', 'component', 'repairs', 'part price', 'age months'] },
  { id: 'terms', rules: 12, columns: ['remedy', 'ground', 'days since delivery', 'price paid'] },
  { id: 'level', rules: 10, columns: ['remedy', 'terms', 'price paid'] },
];
const OUTCOMES = {
  party: words('party ', 6),
  remedy: words('remedy ', 6),
  terms: words('terms ', 5),
  level: words('level ', 4),
};
/** Share of the cells that are filled; about 290 of 518. */
const FILLED = 0.55;

/** The policy: 40 × 8, 24 × 5, 12 × 4 and 10 × 3, the first rule that holds decides. */
export function chainedPolicy(seed = 7) {
  const next = drawer(seed);
  const types = {
    ...FACTS,
    ...Object.fromEntries(Object.entries(OUTCOMES).map(([name, values]) => [name, { type: 'enum', values }])),
  };
  const decisions = TABLES.map(({ id, rules, columns }) => ({
    id,
    gives: { [id]: { type: 'enum', values: OUTCOMES[id] } },
    table: {
      hit: 'first',
      columns: Object.fromEntries(columns.map((name, at) => [`c${at}`, name])),
      rules: rulesOf(
        id,
        rules,
        columns.map((name) => types[name]),
        () => ({ [id]: pick(OUTCOMES[id], next) }),
        next,
      ),
      otherwise: { [id]: OUTCOMES[id].at(-1) },
    },
  }));
  return documentOf('chained', FACTS, decisions);
}

/** One table of eight columns of which every rule that holds counts. */
export function allHitsPolicy(rules, seed = 11) {
  const next = drawer(seed);
  const { columns } = TABLES[0];
  const table = {
    hit: 'rule order',
    columns: Object.fromEntries(columns.map((name, at) => [`c${at}`, name])),
    rules: rulesOf(
      'H',
      rules,
      columns.map((name) => FACTS[name]),
      () => ({ found: pick(OUTCOMES.party, next) }),
      next,
    ),
    otherwise: { found: [] },
  };
  const gives = { found: { type: 'enum', values: OUTCOMES.party, list: true } };
  return documentOf('all-hits', FACTS, [{ id: 'found', gives, table }]);
}

function documentOf(id, facts, decisions) {
  return {
    format: 'policy/1',
    id,
    title: 'A policy for measuring',
    jurisdiction: 'DE',
    caution: 'Made up for measuring.',
    governedBy: 'delivered on',
    zone: 'Europe/Berlin',
    money: { currency: 'EUR', scale: 2, rounding: 'half even' },
    facts,
    parameters: {},
    decisions,
    examples: [],
  };
}

function rulesOf(id, count, types, given, next) {
  return Array.from({ length: count }, (_, at) => {
    const when = {};
    for (const [column, type] of types.entries()) if (next() < FILLED) when[`c${column}`] = textOf(testOf(type, next));
    // oxlint-disable-next-line unicorn/no-thenable -- `then` is a key of the document format; a rule is never awaited.
    return { id: `${id}-${at + 1}`, when, then: given() };
  });
}

const pick = (values, next) => values[Math.floor(next() * values.length)];

/** A test of a column in a form of its own, from which every engine's conditions are made. */
function testOf(type, next) {
  if (type.type === 'boolean') return { kind: 'is', value: next() < 0.5 };
  if (type.type === 'enum') {
    const some = type.values.filter(() => next() < 0.5);
    const values = some.length === 0 ? [pick(type.values, next)] : some;
    return { kind: next() < 0.2 ? 'not' : 'in', values };
  }
  const [low, high] = [point(type, next), point(type, next)].toSorted((a, b) => Number(a) - Number(b));
  const way = next();
  if (way < 0.35) return { kind: '<=', value: high };
  if (way < 0.7) return { kind: '>', value: low };
  return { kind: 'within', low, high };
}

function point(type, next) {
  const number = Number(type.min) + next() * (Number(type.max) - Number(type.min));
  return type.type === 'integer' ? String(Math.round(number)) : number.toFixed(2);
}

function textOf(test) {
  const list = () => test.values.map((value) => JSON.stringify(value)).join(', ');
  switch (test.kind) {
    case 'is':
      return String(test.value);
    case 'in':
      return list();
    case 'not':
      return `not(${list()})`;
    case 'within':
      return `[${test.low}..${test.high}]`;
    default:
      return `${test.kind} ${test.value}`;
  }
}

/** A cell of these tables read back into the form of its own. */
export function testOfText(text) {
  const values = (list) => JSON.parse(`[${list}]`);
  if (text === 'true' || text === 'false') return { kind: 'is', value: text === 'true' };
  if (text.startsWith('not(')) return { kind: 'not', values: values(text.slice(4, -1)) };
  if (text.startsWith('"')) return { kind: 'in', values: values(text) };
  if (text.startsWith('[')) {
    const [low, high] = text.slice(1, -1).split('..');
    return { kind: 'within', low, high };
  }
  const [kind, value] = text.split(' ');
  return { kind, value };
}

/** Claims as facts: every fact known; decimals as text, as facts travel. */
export function drawClaims(count, seed = 23) {
  const next = drawer(seed);
  return Array.from({ length: count }, () => {
    const facts = {};
    for (const [name, type] of Object.entries(FACTS)) {
      if (type.type === 'date') facts[name] = '2026-03-01';
      else if (type.type === 'boolean') facts[name] = next() < 0.5;
      else if (type.type === 'enum') facts[name] = pick(type.values, next);
      else facts[name] = type.type === 'integer' ? Number(point(type, next)) : point(type, next);
    }
    return facts;
  });
}

/** Names of facts that are decimals and travel as text. */
export const DECIMALS = Object.keys(FACTS).filter((name) => FACTS[name].type === 'decimal');
