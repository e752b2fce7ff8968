import type { Receipt } from '../../kernel/vocabulary.js';
import type { Delivery } from '../adjudication.contract.js';

/**
 * Reservations that name no damage. Trade practice treats a receipt with nothing but these as a clear signature: a valid exception
 * names the damage and the pieces (trade notes on receiving freight of 2015 and later).
 */
const RESERVATION =
  /\b(?:subject to|pending|awaiting|upon|after|until|prior to|before|with|without|w\/o|not yet)\s+(?:further\s+|full\s+|later\s+|final\s+|being\s+)?(?:inspections?|inspecting|inspected|checks?|checking|checked|counts?|counting|counted|examination|examined|opening|opened|unpacking|unpacked|review|verification|verified)\b|\b(?:un|not\s+)(?:inspected|checked|counted|opened|verified)\b|\bs\.?\s?t\.?\s?i\.?(?=\W|$)/giu;

/** Words that say nothing about the goods' condition. */
const FILLER =
  /\b(?:received|receipt|signed|signature|accepted|delivered|delivery|goods|freight|shipment|load|order|items?|cartons?|boxes|box|pieces?|pcs|packages?|parcels?|units?|contents?|all|the|of|and|by|for|on|in|at|to|is|are|was|were|customer|consignee|reserve|reserved|reservation|only|ok|okay|inspection)\b/giu;

/** Whether a receipt's words are nothing but a reservation, such as "subject to inspection". Empty words are no reservation. */
export function onlyReserves(words: string): boolean {
  const rest = words.replaceAll(RESERVATION, ' ');
  if (rest === words) return false;
  return !/\p{L}/u.test(rest.replaceAll(FILLER, ' '));
}

/** The receipt as it counts: exceptions that name no damage are a clear signature. */
export function effectiveReceipt(delivery: Pick<Delivery, 'receipt' | 'receiptWords'>): Receipt {
  const { receipt, receiptWords } = delivery;
  return receipt === 'exceptions noted' && receiptWords !== undefined && onlyReserves(receiptWords) ? 'clean' : receipt;
}

const NUMBERS: Readonly<Record<string, number>> = {
  one: 1,
  two: 2,
  three: 3,
  four: 4,
  five: 5,
  six: 6,
  seven: 7,
  eight: 8,
  nine: 9,
  ten: 10,
};

/** How many pieces the words count out ("2 cartons crushed corner, leg box torn" counts 2); undefined where they count none. */
export function piecesNoted(words: string): number | undefined {
  const pattern = new RegExp(
    String.raw`\b(\d{1,4}|${Object.keys(NUMBERS).join('|')})\s+(?:cartons?|ctns?|boxes|box|pieces?|pcs|packages?|pkgs?|parcels?|units?)\b`,
    'giu',
  );
  const counts = [...words.matchAll(pattern)].map((match) => {
    const said = (match[1] ?? '').toLowerCase();
    return NUMBERS[said] ?? Number(said);
  });
  return counts.length === 0 ? undefined : counts.reduce((sum, count) => sum + count, 0);
}
