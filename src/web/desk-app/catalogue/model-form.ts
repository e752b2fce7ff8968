import { modelFaults, type Model, type Part, type WarrantyTerm } from '../../../catalogue/catalogue.contract.js';
import { minorDigits } from '../../../kernel/currency.js';
import { moneyDecimal } from '../../../kernel/money.js';
import type { Fault } from '../../../kernel/outcome.js';
import { COMPONENTS, FAMILIES } from '../../../kernel/vocabulary.js';
import { moneyExample, readMoney } from '../../domain/money-words.js';

/** A part as it is typed; names are those of the model, so that a fault leads to its field. */
export interface TypedPart {
  readonly number: string;
  readonly title: string;
  readonly component: string;
  /** Empty for a root of the tree. */
  readonly parent: string;
  readonly pieces: string;
  /** In the model's currency: "12.50". */
  readonly priceMinor: string;
  readonly freightMinor: string;
  /** Kilograms. */
  readonly massGrams: string;
  readonly customerFits: boolean;
  /** Percent. */
  readonly failsAgainBp: string;
  /** `yes`, `no`, or empty while it is not known. */
  readonly inStock: string;
  readonly isSpare: boolean;
}

export interface TypedTerm {
  readonly component: string;
  readonly fullMonths: string;
  readonly proRataMonths: string;
}

/** A model as it is typed: masses in kilograms, amounts in the currency, shares in percent. */
export interface TypedModel {
  readonly sku: string;
  readonly title: string;
  readonly family: string;
  readonly maker: string;
  readonly grossGrams: string;
  readonly netGrams: string;
  readonly serialPattern: string;
  readonly currency: string;
  readonly unitCostMinor: string;
  readonly unitFreightMinor: string;
  readonly visitCostMinor: string;
  readonly salvageBp: string;
  readonly checklist: string;
  readonly evidenceModel: string;
  readonly parts: readonly TypedPart[];
  readonly warranty: readonly TypedTerm[];
}

export const NEW_PART: TypedPart = {
  number: '',
  title: '',
  component: 'frame',
  parent: '',
  pieces: '1',
  priceMinor: '',
  freightMinor: '0',
  massGrams: '',
  customerFits: false,
  failsAgainBp: '0',
  inStock: '',
  isSpare: false,
};

export const NEW_TERM: TypedTerm = { component: 'frame', fullMonths: '24', proRataMonths: '0' };

export const NEW_MODEL: TypedModel = {
  sku: '',
  title: '',
  family: FAMILIES[0],
  maker: '',
  grossGrams: '',
  netGrams: '',
  serialPattern: '^[A-Z]{2}[0-9]{8}$',
  currency: 'EUR',
  unitCostMinor: '',
  unitFreightMinor: '',
  visitCostMinor: '',
  salvageBp: '0',
  checklist: '',
  evidenceModel: '',
  parts: [],
  warranty: [],
};

/** 62500 → "62.5" */
function kilograms(grams: number): string {
  return String(grams / 1000);
}

/** 150 → "1.5" */
function percent(bp: number): string {
  return String(bp / 100);
}

/** A model as its form shows it. */
export function typedModel(model: Model): TypedModel {
  const { currency } = model;
  const amount = (amountMinor: number): string => moneyDecimal({ amountMinor, currency });
  const { sku, title, family, maker, serialPattern, checklist, evidenceModel } = model;
  return {
    sku,
    title,
    family,
    maker,
    serialPattern,
    currency,
    checklist,
    evidenceModel,
    grossGrams: kilograms(model.grossGrams),
    netGrams: kilograms(model.netGrams),
    unitCostMinor: amount(model.unitCostMinor),
    unitFreightMinor: amount(model.unitFreightMinor),
    visitCostMinor: amount(model.visitCostMinor),
    salvageBp: percent(model.salvageBp),
    parts: model.parts.map((part) => ({
      number: part.number,
      title: part.title,
      component: part.component,
      parent: part.parent ?? '',
      pieces: String(part.pieces),
      priceMinor: amount(part.priceMinor),
      freightMinor: amount(part.freightMinor),
      massGrams: kilograms(part.massGrams),
      customerFits: part.customerFits,
      failsAgainBp: percent(part.failsAgainBp),
      inStock: part.inStock === undefined ? '' : part.inStock ? 'yes' : 'no',
      isSpare: part.isSpare,
    })),
    warranty: model.warranty.map(({ component, fullMonths, proRataMonths }) => ({
      component,
      fullMonths: String(fullMonths),
      proRataMonths: String(proRataMonths),
    })),
  };
}

/** What was typed as a model; without one where a field cannot be read. Faults have the pointers that the service uses. */
export interface ReadModel {
  readonly model: Model | undefined;
  readonly faults: readonly Fault[];
}

const SKU = /^[A-Za-z0-9][A-Za-z0-9._-]*$/;

/** Reads a form. Nothing is rounded: what has more digits than fit is refused. */
export function readTyped(typed: TypedModel): ReadModel {
  const reader = new FormReader(typed.currency.trim().toUpperCase());
  const { sku } = typed;
  if (!SKU.test(sku.trim()))
    reader.fault(
      '#/sku',
      'A code has letters, digits, dots, dashes and underscores, and begins with a letter or digit.',
    );
  const model: Model = {
    sku: sku.trim(),
    title: reader.text('#/title', typed.title),
    family: reader.oneOf('#/family', typed.family, FAMILIES),
    maker: reader.text('#/maker', typed.maker),
    grossGrams: reader.grams('#/grossGrams', typed.grossGrams, 1),
    netGrams: reader.grams('#/netGrams', typed.netGrams, 1),
    serialPattern: reader.text('#/serialPattern', typed.serialPattern),
    currency: reader.currency,
    unitCostMinor: reader.amount('#/unitCostMinor', typed.unitCostMinor),
    unitFreightMinor: reader.amount('#/unitFreightMinor', typed.unitFreightMinor),
    visitCostMinor: reader.amount('#/visitCostMinor', typed.visitCostMinor),
    salvageBp: reader.bp('#/salvageBp', typed.salvageBp),
    checklist: reader.text('#/checklist', typed.checklist),
    evidenceModel: reader.text('#/evidenceModel', typed.evidenceModel),
    parts: typed.parts.map((part, index) => readPart(reader, part, `#/parts/${index}`)),
    warranty: typed.warranty.map((term, index) => readTerm(reader, term, `#/warranty/${index}`)),
  };
  const { faults } = reader;
  return { model: faults.length === 0 ? model : undefined, faults: faults.length === 0 ? modelFaults(model) : faults };
}

function readPart(reader: FormReader, typed: TypedPart, at: string): Part {
  const parent = typed.parent.trim();
  return {
    number: reader.text(`${at}/number`, typed.number),
    title: reader.text(`${at}/title`, typed.title),
    component: reader.oneOf(`${at}/component`, typed.component, COMPONENTS),
    ...(parent === '' ? {} : { parent }),
    pieces: reader.whole(`${at}/pieces`, typed.pieces, 10_000),
    priceMinor: reader.amount(`${at}/priceMinor`, typed.priceMinor),
    freightMinor: reader.amount(`${at}/freightMinor`, typed.freightMinor),
    massGrams: reader.grams(`${at}/massGrams`, typed.massGrams, 0),
    customerFits: typed.customerFits,
    failsAgainBp: reader.bp(`${at}/failsAgainBp`, typed.failsAgainBp),
    ...(typed.inStock === '' ? {} : { inStock: typed.inStock === 'yes' }),
    isSpare: typed.isSpare,
  };
}

function readTerm(reader: FormReader, typed: TypedTerm, at: string): WarrantyTerm {
  return {
    component: reader.oneOf(`${at}/component`, typed.component, COMPONENTS),
    fullMonths: reader.whole(`${at}/fullMonths`, typed.fullMonths, 600),
    proRataMonths: reader.whole(`${at}/proRataMonths`, typed.proRataMonths, 600),
  };
}

const MOST_GRAMS = 10_000_000;

/** Reads fields one by one and notes what is wrong with them. A field that cannot be read counts as 0 until it can. */
class FormReader {
  readonly faults: Fault[] = [];

  constructor(readonly currency: string) {
    if (minorDigits(currency) === undefined)
      this.fault('#/currency', 'Write the three letters of ISO 4217, such as EUR, GBP or USD.');
  }

  fault(pointer: string, detail: string): void {
    this.faults.push({ pointer, detail });
  }

  text(pointer: string, typed: string): string {
    if (typed.trim() === '') this.fault(pointer, 'Write something here.');
    return typed.trim();
  }

  oneOf<T extends string>(pointer: string, typed: string, words: readonly [T, ...T[]]): T {
    const found = words.find((word) => word === typed);
    if (found === undefined) this.fault(pointer, `Choose one of: ${words.join(', ')}.`);
    return found ?? words[0];
  }

  amount(pointer: string, typed: string): number {
    if (minorDigits(this.currency) === undefined) return 0;
    const amountMinor = readMoney(typed, this.currency);
    if (amountMinor === undefined)
      this.fault(pointer, `This is not an amount in ${this.currency}. Write it like ${moneyExample(this.currency)}.`);
    return amountMinor ?? 0;
  }

  grams(pointer: string, typed: string, least: number): number {
    const grams = scaled(typed, 3);
    if (grams === undefined || grams < least || grams > MOST_GRAMS) {
      this.fault(pointer, 'Write kilograms with at most three digits behind the point, such as 62.5.');
      return 0;
    }
    return grams;
  }

  bp(pointer: string, typed: string): number {
    const bp = scaled(typed, 2);
    if (bp === undefined || bp > 10_000) {
      this.fault(pointer, 'Write percent from 0 to 100 with at most two digits behind the point, such as 2.5.');
      return 0;
    }
    return bp;
  }

  whole(pointer: string, typed: string, most: number): number {
    const value = scaled(typed, 0);
    if (value === undefined || value > most) {
      this.fault(pointer, `Write a whole number from 0 to ${most}.`);
      return 0;
    }
    return value;
  }
}

/** A number of at least 0 times a power of ten, read from its digits so that nothing is lost; undefined where it is none. */
function scaled(typed: string, digits: number): number | undefined {
  const match = /^(\d{1,7})(?:[.,](\d+))?$/.exec(typed.trim());
  const fraction = match?.[2] ?? '';
  if (match === null || fraction.length > digits) return undefined;
  return Number(`${match[1]}${fraction.padEnd(digits, '0')}`);
}
