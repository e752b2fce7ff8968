import { describe, expect, it } from 'vitest';
import { aClaimFile } from '../../../tests/support/claim-file.js';
import { claimDates, claimFacts } from './claim-facts.js';
import { effectiveReceipt, onlyReserves, piecesNoted } from './receipt-words.js';

const noted = (receiptWords: string): unknown => {
  const claim = aClaimFile({ delivery: { ...aClaimFile().delivery, receipt: 'exceptions noted', receiptWords } });
  const { receipt, noted: fact } = claimFacts(claim, claimDates(claim), false, () => false);
  return { receipt, noted: fact };
};

// Trade notes on receiving freight of 2015 and later: "subject to inspection" is a clear signature; an exception names damage and pieces.
describe('the words on a receipt', () => {
  it.each([
    'subject to inspection',
    'Subject to inspection',
    'SUBJECT TO FURTHER INSPECTION',
    'STI',
    'S.T.I.',
    'Received subject to inspection.',
    'Signed pending inspection',
    'goods not inspected',
    'contents unchecked',
    'subject to count and inspection',
    'All cartons accepted subject to unpacking',
  ])('name no damage where they say "%s": the receipt counts as clean and nothing is noted', (words) => {
    expect(onlyReserves(words)).toBe(true);
    expect(noted(words)).toEqual({ receipt: 'clean', noted: false });
  });

  it.each([
    '2 cartons crushed corner, leg box torn',
    'subject to inspection, 1 carton wet',
    'crushed',
    'Karton eingedrückt',
    'box open, not inspected',
    'short 1 box, subject to inspection',
    '?',
  ])('are an exception where they say "%s"', (words) => {
    expect(onlyReserves(words)).toBe(false);
    expect(noted(words)).toEqual({ receipt: 'exceptions noted', noted: true });
  });

  it('do not change a refusal, a clean receipt or one without words', () => {
    expect(effectiveReceipt({ receipt: 'refused', receiptWords: 'subject to inspection' })).toBe('refused');
    expect(effectiveReceipt({ receipt: 'clean', receiptWords: 'subject to inspection' })).toBe('clean');
    expect(effectiveReceipt({ receipt: 'exceptions noted' })).toBe('exceptions noted');
  });

  it.each([
    ['2 cartons crushed corner, leg box torn', 2],
    ['one box torn and 3 cartons wet', 4],
    ['crushed', undefined],
    ['2 corners crushed', undefined],
  ])('count pieces: "%s" counts %s', (words, pieces) => {
    expect(piecesNoted(words)).toBe(pieces);
  });
});
