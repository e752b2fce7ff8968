import type { Words } from '../../kernel/vocabulary.js';
import { gtin14 } from './gs1-check-digit.js';
import type { LabelReading } from './labels.js';

/** What the labels of a photo should say. */
export interface ExpectedUnit {
  readonly serial: string;
  /** The maker's or retailer's number of the model; compared with (01) only where it is a GTIN. */
  readonly sku: string;
  /** Serial numbers of the visit's other units. */
  readonly others: readonly string[];
}

/** How the labels of a photo compare with the visit. Said to the crew at once; nobody is refused for it. */
export interface LabelCheck {
  readonly outcome: 'match' | 'differs' | 'none';
  readonly expected: string;
  /** The number that was read. */
  readonly read?: string;
  readonly says: Words;
}

/**
 * Compares what was read with the unit that the inspection is about. A GS1 serial (21) counts, and any plain code that is one of the
 * visit's serials or is built like the expected one, letter for letter and digit for digit; other codes on a carton say nothing.
 * @param sought whether the photo was to show a label, so that reading none is worth a word
 */
export function checkLabels(
  labels: readonly LabelReading[],
  unit: ExpectedUnit,
  sought: boolean,
): LabelCheck | undefined {
  const expected = unit.serial;
  const serials = labels.flatMap((label) => serialOf(label, unit) ?? []);
  const own = serials.find((serial) => same(serial, expected));
  if (own !== undefined)
    return modelFault(labels, unit) ?? { outcome: 'match', expected, read: own, says: matches(own) };
  const other = serials.find((serial) => unit.others.some((each) => same(serial, each)));
  if (other !== undefined) return { outcome: 'differs', expected, read: other, says: ofAnotherUnit(other, expected) };
  const [strange] = serials;
  if (strange !== undefined) return { outcome: 'differs', expected, read: strange, says: differs(strange, expected) };
  return modelFault(labels, unit) ?? (sought ? { outcome: 'none', expected, says: NONE } : undefined);
}

function serialOf({ serial, elements, gtin, text }: LabelReading, unit: ExpectedUnit): string | undefined {
  if (serial !== undefined) return serial;
  if (elements !== undefined || gtin !== undefined) return undefined;
  const plain = text.replace(/^S\/?N[:\s]*/i, '').trim();
  const known = [unit.serial, ...unit.others].some((each) => same(plain, each));
  return known || build(plain) === build(unit.serial) ? plain : undefined;
}

function modelFault(labels: readonly LabelReading[], { sku, serial }: ExpectedUnit): LabelCheck | undefined {
  const wanted = gtin14(sku);
  const read = labels.flatMap(({ gtin }) => gtin ?? []);
  if (wanted === undefined || read.length === 0 || read.includes(wanted)) return undefined;
  return { outcome: 'differs', expected: serial, read: read[0] ?? '', says: otherModel(read[0] ?? '', wanted) };
}

function same(one: string, other: string): boolean {
  return one.trim().toUpperCase() === other.trim().toUpperCase();
}

/** 'DR7K123456' → 'AA9A999999' */
function build(text: string): string {
  return text.toUpperCase().replaceAll(/[A-Z]/g, 'A').replaceAll(/[0-9]/g, '9');
}

function matches(read: string): Words {
  return { en: `The label says ${read}, as it should.`, es: `La etiqueta dice ${read}, como debe ser.` };
}

function differs(read: string, expected: string): Words {
  return {
    en: `The label says ${read}; this visit brings ${expected}. Check that this is the right unit.`,
    es: `La etiqueta dice ${read}; esta visita trae ${expected}. Compruebe que sea la unidad correcta.`,
  };
}

function ofAnotherUnit(read: string, expected: string): Words {
  return {
    en: `The label says ${read}, another unit of this visit; this inspection is about ${expected}.`,
    es: `La etiqueta dice ${read}, otra unidad de esta visita; esta inspección es de ${expected}.`,
  };
}

function otherModel(read: string, expected: string): Words {
  return {
    en: `The item number on the label is ${read}, not ${expected}. Check that this is the right model.`,
    es: `El número de artículo de la etiqueta es ${read}, no ${expected}. Compruebe que sea el modelo correcto.`,
  };
}

const NONE: Words = {
  en: 'No code could be read. Take the label again, flat, near and sharp, or type the number.',
  es: 'No se pudo leer ningún código. Tome la etiqueta otra vez, plana, cerca y nítida, o escriba el número.',
};
