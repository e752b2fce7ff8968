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
    return raw === undefined ? undefined : this.byPlace[place]!.read(raw).known;
  }

  /** The value of a fact as it travels; null also where it is not known. */
  written(sheet: FactSheet, place: number): OutcomeValue {
    const raw = sheet.raw[place];
    return raw === undefined ? null : this.byPlace[place]!.read(raw).written;
  }
}

interface ReadValue {
  readonly known: Known;
  readonly written: OutcomeValue;
  readonly code: number;
}

/** Digits, perhaps with a point and digits, short enough that its nearest double tells it from every other such number. */
const SHORT_NUMBER = /^-?\d{1,15}(?:\.\d{1,14})?$/;

class OneFact {
  readonly values: Remembered<Facts[string], ReadValue>;
  private readonly ordinals: ReadonlyMap<Raw, number>;
  private readonly min: number;
  private readonly max: number;
  private readonly scale: number;

  constructor(
    readonly name: string,
    readonly place: number,
    private readonly type: FactType,
  ) {
    this.values = new Remembered(MOST_KEPT, (value) => this.readSlowly(value));
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
        return ordinal === undefined ? this.read(value).code : ordinal;
      }
      case 'integer':
        if (typeof value === 'number' && Number.isSafeInteger(value) && this.isInside(value)) return value;
        return this.read(value).code;
      case 'decimal': {
        const number = this.shortDecimal(value);
        return this.isInside(number) ? number : this.read(value).code;
      }
      default:
        return this.read(value).code;
    }
  }

  read(value: Facts[string]): ReadValue {
    return this.values.of(value);
  }

  private isInside(number: number): boolean {
    return number >= this.min && number <= this.max;
  }

  /** A decimal that needs no second look, as a double; else not a number. */
  private shortDecimal(value: Facts[string]): number {
    if (typeof value !== 'string') return Number.isSafeInteger(value) ? Number(value) : Number.NaN;
    if (value.length > EXACT_DIGITS || !SHORT_NUMBER.test(value)) return Number.NaN;
    const point = value.indexOf('.');
    return point === -1 || value.length - point - 1 <= this.scale ? Number(value) : Number.NaN;
  }

  private readSlowly(value: Facts[string]): ReadValue {
    const read = readTyped(this.type, value);
    if ('wrong' in read) throw new RangeError(`fact "${this.name}": ${read.wrong}`);
    const known = read.value;
    return { known, written: writeValue(known, this.type.type === 'integer'), code: this.codeOfKnown(known) };
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
