import { describe, expect, it } from 'vitest';
import { bracketed, elementString, FNC1, parseBracketed } from './gs1-element-string.js';
import { digitalLink, parseDigitalLink } from './gs1-digital-link.js';

const read = (uri: string): string => {
  const reading = parseDigitalLink(uri);
  return reading.ok ? bracketed(reading.elements) : `refused: ${reading.fault}`;
};

// dl.c of gs1/gs1-syntax-engine, and the example of the GS1DigitalLinkToolkit's README.
describe('Digital Link addresses', () => {
  const EXAMPLE = 'https://id.gs1.org/01/05412345000013/10/ABC%26%2B123?3103=000189&3923=2172';
  const PEOPLE = '(01)05412345000013(10)ABC&+123(3103)000189(3923)2172';

  it('the published example, both ways', () => {
    expect(read(EXAMPLE)).toBe(PEOPLE);
    const elements = parseBracketed(PEOPLE);
    expect(elements.ok && digitalLink('https://id.gs1.org', elements.elements)).toBe(EXAMPLE);
  });

  it.each([
    ['https://a/01/12312312312333/22/TEST/10/ABC/21/XYZ', '^011231231231233322TEST^10ABC^21XYZ'],
    ['https://a/stem/00/006141411234567890?99=ABC', '^0000614141123456789099ABC'],
  ])('%s', (uri, symbol) => {
    const reading = parseDigitalLink(uri);
    expect(reading.ok && elementString(reading.elements)).toBe(symbol.replaceAll('^', FNC1));
  });

  it.each([
    ['https://a/01/12312312312333/235/ABC', '(01)12312312312333(235)ABC'],
    ['http://a.example:8080/x/y/01/12312312312333/21/A+B', '(01)12312312312333(21)A+B'],
    ['https://a/01/12312312312333?linkType=all&99=ABC#top', '(01)12312312312333(99)ABC'],
    ['https://a/01/12312312312333/10/01/21/00', '(01)12312312312333(10)01(21)00'],
  ])('%s reads as %s', (uri, people) => {
    expect(read(uri)).toBe(people);
  });

  it.each([
    ['https://a/gtin/12312312312333/ser/ABC123', 'no primary key'],
    ['https://a/01/12312312312333?99=', 'wrong value'],
    ['https://a/01/12312312312333/', 'empty segment'],
    ['https://a/01/12312312312333?99=ABC&999=x', 'unknown identifier in the query'],
    ['https://a/01/2112345678900', 'wrong value'],
    ['https://a/01/12312312312334', 'wrong value'],
    ['https://a/01/12312312312333/10/ABC/22/TEST', 'wrong qualifier'],
    ['https://a/01/12312312312333/235/XYZ/22/TEST', 'wrong qualifier'],
    ['https://a/01/12312312312333/235/XYZ/10/TEST', 'wrong qualifier'],
    ['https://a/01/12312312312333/21/XYZ/235/TEST', 'wrong qualifier'],
    ['https://a/00/006141411234567890/21/X', 'wrong qualifier'],
    ['https://a/01/12312312312333/21/%ZZ', 'wrong percent sign'],
    ['https://a/', 'no primary key'],
    ['https://a', 'no primary key'],
    ['ftp://a/01/12312312312333', 'no web address'],
    ['javascript:alert(1)', 'no web address'],
    [`https://a/01/12312312312333/21/${'A'.repeat(2000)}`, 'no web address'],
    ['', 'no web address'],
  ])('refuses %s: %s', (uri, fault) => {
    expect(read(uri)).toBe(`refused: ${fault}`);
  });

  it('without a key there is no link', () => {
    expect(() => digitalLink('https://id.gs1.org', [{ ai: '10', value: 'A' }])).toThrow('primary key');
  });
});
