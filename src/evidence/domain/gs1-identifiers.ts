import { valueParts, type ValuePart } from './gs1-values.js';

/** What an application identifier promises of the value behind it. */
export interface ApplicationIdentifier {
  readonly ai: string;
  readonly parts: readonly ValuePart[];
  /** Its length is known beforehand, so no FNC1 has to end it. */
  readonly fixed: boolean;
  /** Decimals of the value, told by the identifier's last digit. */
  readonly decimals?: number;
}

/**
 * Application identifiers of goods, logistic units, parts and deliveries with their formats (GS1 General Specifications, chapter 3;
 * formats, checks and pairs as in the GS1 Barcode Syntax Dictionary). A final `n` stands for 0 to 5 decimals. Those of medicine,
 * fresh food and coupons are left out: they have no place on furniture and read as unknown.
 */
const FORMATS: Readonly<Record<string, string>> = {
  '00': 'N18,check',
  '01': 'N14,check',
  '02': 'N14,check',
  '03': 'N14,check',
  '10': 'X..20',
  '11': 'N6,date',
  '12': 'N6,date',
  '13': 'N6,date',
  '15': 'N6,date',
  '16': 'N6,date',
  '17': 'N6,date',
  '20': 'N2',
  '21': 'X..20',
  '22': 'X..20',
  '235': 'X..28',
  '240': 'X..30',
  '241': 'X..30',
  '242': 'N..6',
  '243': 'X..20',
  '250': 'X..30',
  '251': 'X..30',
  '253': 'N13,check+X0..17',
  '254': 'X..20',
  '255': 'N13,check+N0..12',
  '30': 'N..8',
  ...measures(),
  '37': 'N..8',
  '390n': 'N..15',
  '391n': 'N3+N..15',
  '392n': 'N..15',
  '393n': 'N3+N..15',
  '400': 'X..30',
  '401': 'X..30',
  '402': 'N17,check',
  '403': 'X..30',
  '410': 'N13,check',
  '411': 'N13,check',
  '412': 'N13,check',
  '413': 'N13,check',
  '414': 'N13,check',
  '415': 'N13,check',
  '416': 'N13,check',
  '417': 'N13,check',
  '420': 'X..20',
  '421': 'N3+X..9',
  '422': 'N3',
  '424': 'N3',
  '426': 'N3',
  '4300': 'X..35',
  '4301': 'X..35',
  '4302': 'X..70',
  '4303': 'X..70',
  '4304': 'X..70',
  '4305': 'X..70',
  '4306': 'X..70',
  '4307': 'X2',
  '4308': 'X..30',
  '4310': 'X..35',
  '4311': 'X..35',
  '4312': 'X..70',
  '4313': 'X..70',
  '4314': 'X..70',
  '4315': 'X..70',
  '4316': 'X..70',
  '4317': 'X2',
  '4318': 'X..20',
  '4319': 'X..30',
  '4320': 'X..35',
  '4321': 'N1',
  '4322': 'N1',
  '4323': 'N1',
  '4324': 'N10',
  '4325': 'N10',
  '4326': 'N6,exact',
  '8002': 'X..20',
  '8003': 'N14,check+X0..16',
  '8004': 'X..30',
  '8006': 'N14,check+N4',
  '8008': 'N8+N0..4',
  '8010': 'Y..30',
  '8011': 'N..12',
  '8012': 'X..20',
  '8013': 'X..25',
  '8017': 'N18,check',
  '8018': 'N18,check',
  '8019': 'N..10',
  '8020': 'X..25',
  '8026': 'N14,check+N4',
  '8200': 'X..70',
  '90': 'X..30',
  ...Object.fromEntries(['91', '92', '93', '94', '95', '96', '97', '98', '99'].map((ai) => [ai, 'X..90'])),
};

/** 310n to 316n, 320n to 337n and 340n to 369n: weights, lengths, areas and volumes. */
function measures(): Record<string, string> {
  const ranges = [
    [310, 316],
    [320, 337],
    [340, 357],
    [360, 369],
  ] as const;
  const stems = ranges.flatMap(([from, to]) => Array.from({ length: to - from + 1 }, (_each, n) => from + n));
  return Object.fromEntries(stems.map((stem) => [`${stem}n`, 'N6']));
}

/**
 * Beginnings of identifiers whose elements have a fixed length (General Specifications, figure 7.8.5-2). Others end with FNC1 even where
 * their format is fixed, such as 422.
 */
const FIXED_BEGINNINGS = new Set(
  ['00', '01', '02', '03', '04', '11', '12', '13', '14', '15', '16', '17', '18', '19', '20'].concat([
    '31',
    '32',
    '33',
    '34',
    '35',
    '36',
    '41',
  ]),
);

/** The identifier with these digits, exactly. */
export function identifier(ai: string): ApplicationIdentifier | undefined {
  const last = ai.at(-1) ?? '';
  const withN = `${ai.slice(0, -1)}n`;
  const format = FORMATS[ai] ?? (ai.length === 4 && /[0-5]/.test(last) ? FORMATS[withN] : undefined);
  if (format === undefined || ai.endsWith('n')) return undefined;
  return {
    ai,
    parts: valueParts(format),
    fixed: FIXED_BEGINNINGS.has(ai.slice(0, 2)),
    ...(FORMATS[ai] === undefined ? { decimals: Number(last) } : {}),
  };
}

/** The identifier that a run of data begins with; no identifier begins with the whole of another. */
export function leadingIdentifier(data: string): ApplicationIdentifier | undefined {
  return [2, 3, 4]
    .map((length) => (data.length < length ? undefined : identifier(data.slice(0, length))))
    .find((found) => found !== undefined);
}

export type PairFault = {
  readonly kind: 'missing pair' | 'excluded pair';
  readonly ai: string;
  readonly others: readonly string[];
};

/** One of these lists must be there in full beside the identifier. `n` stands for any digit. */
const NEEDS: Readonly<Record<string, readonly (readonly string[])[]>> = {
  '02': [['37']],
  '21': [['01'], ['03'], ['8006']],
  '37': [
    ['00', '02'],
    ['00', '8026'],
  ],
  '403': [['00']],
  ...Object.fromEntries(Array.from({ length: 10 }, (_each, n) => [`431${n}`, [['00']]])),
  '8011': [['8010']],
};
const EXCLUDES: Readonly<Record<string, readonly string[]>> = {
  '01': ['255', '37'],
  '02': ['01', '03'],
  '420': ['421'],
};

/** Identifiers that stand without what they need, or beside what they exclude. Such a label is still read. */
export function pairFaults(present: readonly string[]): PairFault[] {
  return present.flatMap((ai): PairFault[] => {
    const needs = NEEDS[ai];
    const missing = needs !== undefined && !needs.some((list) => list.every((other) => present.includes(other)));
    const beside = (EXCLUDES[ai] ?? []).filter((other) => present.includes(other));
    return [
      ...(missing ? [{ kind: 'missing pair', ai, others: needs.map((list) => list.join('+')) } as const] : []),
      ...(beside.length > 0 ? [{ kind: 'excluded pair', ai, others: beside } as const] : []),
    ];
  });
}
