import type { FactType, Facts, OutcomeValue, PolicyDocument } from '../policies.contract.js';
import { Remembered } from '../../kernel/remembered.js';
import { BOOLEANS } from './column-domain.js';
import { EXACT_DIGITS, keyOf } from './ordered-line.js';
import { Day, Decimal, readNumber, readTyped, writeValue, type Known } from './values.js';

/** Code of a fact that is not known; the only number that is not equal to itself. */
export const NOT_KNOWN = Number.NaN;
/** Code of a fact that is known to be absent. */
export const ABSENT = Number.POSITIVE_INFINITY;

/** Most values of one fact that are kept as read: prices differ from claim to claim, the rest hardly does. */
const MOST_KEPT = 1_000;

type Raw = Facts[string] | undefined;

/** Facts as given and checked, each at its own place. */
export interface FactSheet {
  /**
   * What each fact looks like to an index: place among the values of an enum, 0 for true and 1 for false, the number, or days
   * since 1970-01-01. Texts have 0.
   */
  readonly codes: readonly number[];
  readonly raw: readonly Raw[];
}

/** Reads facts by their declarations. */
export class FactReader {
  private readonly facts: ReadonlyMap<string, OneFact>;
  private readonly byPlace: readonly OneFact[];
  private readonly nothing: FactSheet;

  constructor(declared: PolicyDocument['facts']) {
    this.byPlace = Object.entries(declared).map(([name, type], place) => new OneFact(name, place, type));
    this.facts = new Map(this.byPlace.map((fact) => [fact.name, fact]));
    // Filled by pushing, so that both stay plain arrays without holes and copies of them are one block.
    const [codes, raw]: [number[], Raw[]] = [[], []];
    for (const _ of this.byPlace) {
      codes.push(NOT_KNOWN);
      raw.push(undefined);
    }
    this.nothing = { codes, raw };
  }

  placeOf(name: string): number | undefined {
    return this.facts.get(name)?.place;
  }

  /**
   * Facts on top of others. @throws RangeError on a fact that is not declared or of the wrong type
   */
  read(facts: Facts, below: FactSheet = this.nothing): FactSheet {
    const codes = below.codes.slice();
    const raw = below.raw.slice();
    for (const name in facts) {
      const value = facts[name];
      if (value === undefined) continue;
      const fact = this.facts.get(name);
      if (fact === undefined) throw new RangeError(`the policy declares no fact "${name}"`);
      codes[fact.place] = fact.codeOf(value);
      raw[fact.place] = value;
    }
    return { codes, raw };
  }

  /** The value of a fact as expressions read it; undefined where it is not known. */
  known(sheet: FactSheet, place: number): Known | undefined {
    const raw = sheet.raw[place];
    return raw === undefined ? undefined : this.byPlace[place]!.known(raw);
  }

  /** The value of a fact as it travels; null also where it is not known. */
  written(sheet: FactSheet, place: number): OutcomeValue {
    const raw = sheet.raw[place];
    return raw === undefined ? null : this.byPlace[place]!.written(raw);
  }
}

/** A decimal written as decimals are written out: no needless zeros, no sign before 0. */
const PLAIN_DECIMAL = /^(?:0|-?(?:[1-9]\d*|0(?=\.)))(?:\.\d*[1-9])?$/;

class OneFact {
  /** Checked values as expressions read them, and codes of those that need a second look. */
  private readonly values: Remembered<Facts[string], { readonly known: Known }>;
  private readonly codes: Remembered<Facts[string], number>;
  private readonly ordinals: ReadonlyMap<Raw, number>;
  private readonly min: number;
  private readonly max: number;
  private readonly scale: number;

  constructor(
    readonly name: string,
    readonly place: number,
    private readonly type: FactType,
  ) {
    this.values = new Remembered(MOST_KEPT, (value) => ({ known: this.readAgain(value) }));
    this.codes = new Remembered(MOST_KEPT, (value) => this.codeOfKnown(this.readAgain(value)));
    const values: readonly Known[] = type.type === 'enum' ? type.values : type.type === 'boolean' ? BOOLEANS : [];
    this.ordinals = new Map(values.map((value, place_) => [value as Raw, place_]));
    const limits = type.type === 'integer' || type.type === 'decimal' ? type : undefined;
    this.min = limits?.min === undefined ? Number.NEGATIVE_INFINITY : shortNumber(limits.min);
    this.max = limits?.max === undefined ? Number.POSITIVE_INFINITY : shortNumber(limits.max);
    this.scale = type.type === 'decimal' ? (type.scale ?? EXACT_DIGITS) : 0;
  }

  /** @throws RangeError on a value of the wrong type */
  codeOf(value: Facts[string]): number {
    switch (this.type.type) {
      case 'enum':
      case 'boolean': {
        const ordinal = this.ordinals.get(value);
        return ordinal === undefined ? this.codes.of(value) : ordinal;
      }
      case 'integer':
        if (typeof value === 'number' && Number.isSafeInteger(value) && this.isInside(value)) return value;
        return this.codes.of(value);
      case 'decimal': {
        const number = this.shortDecimal(value);
        return this.isInside(number) ? number : this.codes.of(value);
      }
      default:
        return this.codes.of(value);
    }
  }

  /** A value that has been checked, as expressions read it. */
  known(value: Facts[string]): Known {
    return this.values.of(value).known;
  }

  /** A value that has been checked, as it travels: only decimals can be written in more than one way. */
  written(value: Facts[string]): OutcomeValue {
    if (this.type.type !== 'decimal' || value === null) return value;
    if (typeof value === 'string' && PLAIN_DECIMAL.test(value)) return value;
    return writeValue(this.known(value), false);
  }

  private isInside(number: number): boolean {
    return number >= this.min && number <= this.max;
  }

  /** A decimal that needs no second look, as a double; else not a number. */
  private shortDecimal(value: Facts[string]): number {
    if (typeof value !== 'string') return Number.isSafeInteger(value) ? Number(value) : Number.NaN;
    return shortDecimal(value, this.scale);
  }

  private readAgain(value: Facts[string]): Known {
    const read = readTyped(this.type, value);
    if ('wrong' in read) throw new RangeError(`fact "${this.name}": ${read.wrong}`);
    return read.value;
  }

  private codeOfKnown(known: Known): number {
    if (known === null) return ABSENT;
    if (known instanceof Decimal || known instanceof Day) return keyOf(known);
    return this.ordinals.get(known) ?? 0;
  }
}

/** A limit as a double; not a number where the double does not say it exactly, so that every value gets a second look. */
function shortNumber(limit: number | string): number {
  const number = readNumber(limit);
  return number && number.precision() <= EXACT_DIGITS ? number.toNumber() : Number.NaN;
}

/** Powers of ten that a double holds exactly, as are all quotients of short whole numbers by them rounded once. */
const POWERS = Array.from({ length: EXACT_DIGITS + 1 }, (_, digits) => 10 ** digits);
const [ZERO, NINE, POINT, MINUS] = ['0', '9', '.', '-'].map((sign) => sign.charCodeAt(0)) as [
  number,
  number,
  number,
  number,
];

/** The double next to a decimal of few digits; not a number where the text is anything else, or has more digits after the point. */
function shortDecimal(text: string, scale: number): number {
  const { length } = text;
  if (length > EXACT_DIGITS) return Number.NaN;
  const start = text.charCodeAt(0) === MINUS ? 1 : 0;
  let whole = 0;
  let point = -1;
  for (let at = start; at < length; at += 1) {
    const sign = text.charCodeAt(at);
    if (sign >= ZERO && sign <= NINE) whole = whole * 10 + (sign - ZERO);
    else if (sign === POINT && point === -1 && at > start) point = at;
    else return Number.NaN;
  }
  const after = point === -1 ? 0 : length - point - 1;
  if (length === start || point === length - 1 || after > scale) return Number.NaN;
  const number = whole / POWERS[after]!;
  return start === 1 ? -number : number;
}
