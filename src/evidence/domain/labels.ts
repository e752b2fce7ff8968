import { cleanText } from './camera.js';
import { gtin14 } from './gs1-check-digit.js';
import { parseDigitalLink } from './gs1-digital-link.js';
import { bracketed, parseElementString, type Gs1Element, type Gs1Fault } from './gs1-element-string.js';
import { pairFaults } from './gs1-identifiers.js';

/** A code as the decoder gives it. */
export interface RawLabel {
  /** The decoder's name of the symbology: Code128, DataMatrix, QRCode, ITF, EAN13, EAN8, UPCA, UPCE. */
  readonly format: string;
  /** ISO/IEC 15424 symbology identifier, e.g. `]C1`; empty when the decoder gives none. */
  readonly identifier: string;
  /** What the symbol holds, FNC1 as group separator. */
  readonly content: string;
  /** Corners clockwise from the top left as shares of width and height of the upright photo. */
  readonly place: readonly (readonly [number, number])[];
  /** Longest side in pixels of the picture that it was read from. */
  readonly atPx: number;
}

/** One code on a photo. */
export interface LabelReading {
  /** 'GS1-128', 'Code 128', 'GS1 DataMatrix', … */
  readonly symbology: string;
  /** What it holds, for people; GS1 element strings with their identifiers in brackets. */
  readonly text: string;
  readonly elements?: readonly Gs1Element[];
  /** The elements came from a GS1 Digital Link address. */
  readonly digitalLink?: true;
  /** The item's number in 14 digits, its check digit verified. */
  readonly gtin?: string;
  readonly serial?: string;
  /** Number of a logistic unit. */
  readonly sscc?: string;
  /** Why what claims to be GS1 is not taken for it, or what is odd about it. */
  readonly fault?: string;
  readonly place: RawLabel['place'];
  readonly atPx: number;
}

const NAMES: Readonly<Record<string, readonly [plain: string, gs1: string]>> = {
  Code128: ['Code 128', 'GS1-128'],
  DataMatrix: ['DataMatrix', 'GS1 DataMatrix'],
  QRCode: ['QR code', 'GS1 QR code'],
  ITF: ['ITF', 'ITF'],
  EAN13: ['EAN-13', 'EAN-13'],
  EAN8: ['EAN-8', 'EAN-8'],
  UPCA: ['UPC-A', 'UPC-A'],
  UPCE: ['UPC-E', 'UPC-E'],
};
/** Symbols that hold element strings say so (GS1 General Specifications, figure 5.1.2-1). */
const GS1_IDENTIFIERS = new Set([']C1', ']d2', ']Q3', ']e0', ']J1']);
const RETAIL_CODES = new Set(['EAN13', 'EAN8', 'UPCA', 'UPCE', 'ITF']);
const MOST_CHARACTERS = 200;

/** Makes sense of one code: GS1 element strings, Digital Link addresses, retail codes, or plain text. */
export function labelReading(raw: RawLabel): LabelReading {
  const isGs1 = GS1_IDENTIFIERS.has(raw.identifier);
  const [plainName, gs1Name] = NAMES[raw.format] ?? [raw.format, raw.format];
  const { place, atPx, content } = raw;
  const plain = { symbology: isGs1 ? gs1Name : plainName, text: shown(content), place, atPx };
  if (isGs1) {
    const reading = parseElementString(content);
    return reading.ok ? { ...plain, ...fromElements(reading.elements) } : { ...plain, fault: faultWords(reading) };
  }
  if (/^https?:\/\//i.test(content)) {
    const link = parseDigitalLink(content);
    return link.ok ? { ...plain, ...fromElements(link.elements), text: shown(content), digitalLink: true } : plain;
  }
  const gtin = RETAIL_CODES.has(raw.format) ? gtin14(retailDigits(raw.format, content)) : undefined;
  return { ...plain, ...(gtin === undefined ? {} : { gtin }) };
}

function fromElements(elements: readonly Gs1Element[]): Omit<LabelReading, 'symbology' | 'place' | 'atPx'> {
  const value = (ai: string) => elements.find((each) => each.ai === ai)?.value;
  const [gtin, serial, sscc] = [value('01') ?? value('02') ?? value('8006')?.slice(0, 14), value('21'), value('00')];
  const odd = pairFaults(elements.map(({ ai }) => ai)).map(({ kind, ai, others }) =>
    kind === 'missing pair'
      ? `(${ai}) stands without ${others.join(' or ')}`
      : `(${ai}) stands beside ${others.join(', ')}, which excludes it`,
  );
  return {
    text: bracketed(elements).slice(0, MOST_CHARACTERS * 5),
    elements,
    ...(gtin === undefined ? {} : { gtin }),
    ...(serial === undefined ? {} : { serial }),
    ...(sscc === undefined ? {} : { sscc }),
    ...(odd.length > 0 ? { fault: `${odd.join('; ')}.` } : {}),
  };
}

const FAULTS: Readonly<Record<Gs1Fault, string>> = {
  empty: 'It is empty.',
  'empty value': 'A value is empty.',
  'too short': 'A value is too short.',
  'too long': 'A value is too long.',
  'wrong character': 'A value holds a character that is not allowed there.',
  'wrong check digit': 'A check digit is wrong: the code is damaged or was made up.',
  'no such date': 'A date does not exist.',
  'no identifier': 'Something stands where an application identifier should.',
  'unknown identifier': 'It holds an application identifier that is not known here.',
  'wrong brackets': 'Its brackets do not fit.',
  'too many elements': 'It holds more elements than a label can.',
  'not GS1': 'It is no GS1 code.',
};

function faultWords({ fault, ai }: { readonly fault: Gs1Fault; readonly ai?: string }): string {
  return ai === undefined ? FAULTS[fault] : `(${ai}): ${FAULTS[fault]}`;
}

/** A decoder may give a UPC-A with a leading zero; a UPC-E is given in full. */
function retailDigits(format: string, content: string): string {
  return format === 'UPCA' && content.length === 13 && content.startsWith('0') ? content.slice(1) : content;
}

function shown(content: string): string {
  return cleanText(content, MOST_CHARACTERS) ?? '';
}

/** Ids of photo demands and checks that ask for a label; such photos are searched thoroughly. */
export function isLabelShot({ item, shows }: { readonly item: string; readonly shows: string }): boolean {
  return [item, shows].some((id) => /(?:^|-)(?:label|serial|packing-list|plate)(?:-|$)/.test(id));
}
