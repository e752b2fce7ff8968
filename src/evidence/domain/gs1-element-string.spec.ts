import { describe, expect, it } from 'vitest';
import {
  bracketed,
  elementString,
  FNC1,
  parseBracketed,
  parseElementString,
  parseScanned,
  type Gs1Reading,
} from './gs1-element-string.js';
import { identifier, pairFaults } from './gs1-identifiers.js';

/** In the tests below, as in the engine's, ^ stands for FNC1. */
const fnc1 = (data: string): string => data.replaceAll('^', FNC1);
const faultOf = (reading: Gs1Reading): string => (reading.ok ? 'none' : reading.fault);
const elementsOf = (reading: Gs1Reading): string =>
  reading.ok ? bracketed(reading.elements) : `refused: ${reading.fault}`;

// Accepted by test_parseAIdata and test_processAIdata of gs1/gs1-syntax-engine.
const ACCEPTED = [
  ['(01)12345678901231', '^0112345678901231'],
  ['(01)12345678901231(10)12345', '^01123456789012311012345'],
  ['(3100)123456(10)12345', '^31001234561012345'],
  ['(10)12345(11)991225', '^1012345^11991225'],
  ['(3900)12345(11)991225', '^390012345^11991225'],
  ['(01)12345678901231(235)XYZ(10)BATCH', '^0112345678901231235XYZ^10BATCH'],
  ['(00)006141411234567890', '^00006141411234567890'],
  ['(01)12345678901231(99)1234', '^0112345678901231991234'],
  ['(242)1', '^2421'],
  ['(421)528ABC', '^421528ABC'],
] as const;

describe('element strings', () => {
  it.each(ACCEPTED)('%s is %s, and the other way round', (people, symbol) => {
    const data = fnc1(symbol);
    expect(elementsOf(parseElementString(data))).toBe(people);
    const reading = parseBracketed(people);
    expect(reading.ok && elementString(reading.elements)).toBe(data);
  });

  it('an FNC1 that nothing needs is passed over', () => {
    expect(elementsOf(parseElementString(fnc1('^0112345678901231^991234^')))).toBe('(01)12345678901231(99)1234');
  });

  it('no FNC1 leads in what the reader of a photo gives', () => {
    expect(elementsOf(parseElementString('011234567890123121S-1'))).toBe('(01)12345678901231(21)S-1');
  });

  it.each([
    ['^', 'empty'],
    ['^0112345678901234', 'wrong check digit'],
    ['^01123456789012312', 'no identifier'],
    ['^891234', 'unknown identifier'],
    ['^2421234567', 'too long'],
    ['^10^11991225', 'empty value'],
    ['^0112345678', 'too short'],
    ['^00006141411234567891', 'wrong check digit'],
    ['^17201310', 'no such date'],
    ['^10AB C', 'wrong character'],
    [`^${'1012345^'.repeat(65)}`, 'too many elements'],
  ])('refuses %s: %s', (data, fault) => {
    expect(faultOf(parseElementString(fnc1(data)))).toBe(fault);
  });

  it.each([
    ['(10)(11)98765', 'empty value'],
    ['(1A)12345', 'wrong brackets'],
    ['12345', 'no identifier'],
    ['(12345)12345', 'wrong brackets'],
    ['(01)123456789012312(10)12345', 'too long'],
    ['(17)9(90)217', 'too short'],
    ['(10)12345^', 'wrong character'],
    ['(89)1234', 'unknown identifier'],
    ['(10', 'wrong brackets'],
    ['', 'empty'],
  ])('refuses %s from people: %s', (text, fault) => {
    expect(faultOf(parseBracketed(text))).toBe(fault);
  });

  it('a bracket inside a value is kept', () => {
    expect(elementsOf(parseBracketed('(10)A\\(B)C'))).toBe('(10)A\\(B)C');
    expect(elementsOf(parseElementString('10A(B)C'))).toBe('(10)A\\(B)C');
  });

  it('tells amounts exactly', () => {
    const reading = parseBracketed('(3103)000189(3302)001250(3923)2172(3912)97812345');
    expect(reading.ok && reading.elements.map(({ amount }) => amount)).toEqual(['0.189', '12.50', '2.172', '123.45']);
  });
});

// scandata.c of gs1/gs1-syntax-engine.
describe('what a scanner sends', () => {
  it.each([
    ['^]C1011231231231233310ABC123^99TESTING', '(01)12312312312333(10)ABC123(99)TESTING'],
    ['^]E02112345678900', '(01)02112345678900'],
    ['^]E02112345678901', 'refused: wrong check digit'],
    ['^]E0211234567890', 'refused: too short'],
    ['^]C1', 'refused: empty'],
    ['^]C0ABC', 'refused: not GS1'],
    ['^ABC', 'refused: not GS1'],
  ])('%s', (sent, read) => {
    expect(elementsOf(parseScanned(fnc1(sent.slice(1))))).toBe(read);
  });
});

// Rows of gs1-syntax-dictionary.txt.
describe('identifiers', () => {
  it.each([
    ['00', true],
    ['01', true],
    ['02', true],
    ['17', true],
    ['20', true],
    ['3103', true],
    ['410', true],
    ['417', true],
    ['10', false],
    ['21', false],
    ['30', false],
    ['37', false],
    ['240', false],
    ['3923', false],
    ['400', false],
    ['402', false],
    ['420', false],
    ['421', false],
    ['422', false],
    ['4322', false],
    ['8004', false],
    ['8008', false],
    ['99', false],
  ])('%s has a length that is known beforehand: %s', (ai, fixed) => {
    expect(identifier(ai)?.fixed).toBe(fixed);
  });

  it.each(['89', '3106', '3180', '310n', '310', '9', '', '010'])('%j is none', (ai) => {
    expect(identifier(ai)).toBeUndefined();
  });

  it.each([
    [['37'], 'missing pair'],
    [['00', '02', '37'], undefined],
    [['01', '37'], 'excluded pair'],
    [['420', '421'], 'excluded pair'],
    [['21'], 'missing pair'],
    [['01', '21'], undefined],
    [['403'], 'missing pair'],
    [['4310'], 'missing pair'],
    [['00', '4310'], undefined],
    [['02', '37'], 'missing pair'],
  ])('%j: %s', (present, kind) => {
    const kinds = pairFaults(present).map((fault) => fault.kind);
    if (kind === undefined) expect(kinds).toEqual([]);
    else expect(kinds).toContain(kind);
  });
});
