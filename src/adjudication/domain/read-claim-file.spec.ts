import { describe, expect, it } from 'vitest';
import { aClaimFile, claimJsonWith } from '../../../tests/support/claim-file.js';
import { CLAIM_LIMITS, readClaimFile } from './read-claim-file.js';

function faultsOf(json: unknown): readonly { readonly pointer: string; readonly detail: string }[] {
  const outcome = readClaimFile(json);
  if (outcome.ok) throw new Error('expected faults');
  return outcome.faults;
}

describe('a claim file', () => {
  it('is read as it stands, nothing added and nothing lost', () => {
    const claim = aClaimFile();
    expect(readClaimFile(JSON.parse(JSON.stringify(claim)))).toEqual({ ok: true, value: claim });
  });

  it.each([null, 7, 'claim', [], [[]]])('is refused when it is %j', (json) => {
    expect(faultsOf(json)[0]?.pointer).toBe('#');
  });

  it('has all its faults named at once', () => {
    const json = {
      ...aClaimFile(),
      ground: 'fire',
      asOf: 'today',
      order: { ...aClaimFile().order, currency: 'ZZZ', priceMinor: 0 },
    };
    expect(faultsOf(json).map(({ pointer }) => pointer)).toEqual([
      '#/ground',
      '#/order/currency',
      '#/order/priceMinor',
      '#/asOf',
    ]);
  });

  it.each([
    ['an unknown field', 'colour', 'red', '#/colour', 'is not known here'],
    ['an unknown field inside', 'order.discount', 5, '#/order/discount', 'is not known here'],
    ['a field that is missing', 'order.taxMinor', undefined, '#/order/taxMinor', 'is missing'],
    ['a price of nothing', 'order.priceMinor', 0, '#/order/priceMinor', 'must be from 1'],
    ['a price with cents', 'order.priceMinor', 899.9, '#/order/priceMinor', 'must be a whole number'],
    ['a price as text', 'order.priceMinor', '89990', '#/order/priceMinor', 'must be a whole number, not text'],
    ['an unknown currency', 'order.currency', 'ABC', '#/order/currency', 'ISO 4217'],
    ['gold for a currency', 'order.currency', 'XAU', '#/order/currency', 'ISO 4217'],
    [
      'a word that is not in the list',
      'delivery.receipt',
      'signed',
      '#/delivery/receipt',
      'one of: clean, exceptions noted',
    ],
    ['an instant without offset', 'asOf', '2026-03-06T12:00:00', '#/asOf', 'instant with its offset'],
    ['an instant that does not exist', 'events.filed', '2026-02-30T12:00:00Z', '#/events/filed', 'no such date'],
    ['a date that does not exist', 'order.placedOn', '2026-02-29', '#/order/placedOn', 'no such day'],
    ['a zone that does not exist', 'zone', 'America/Atlantis', '#/zone', 'is not one'],
    ['an offset for a zone', 'zone', '-05:00', '#/zone', 'IANA'],
    ['a country in small letters', 'jurisdiction', 'us', '#/jurisdiction', 'a country such as DE'],
    [
      'a file above its folder',
      'photos.0.file',
      'photos/../../secret.jpg',
      '#/photos/0/file',
      'in or below the folder',
    ],
    ['a file at the root', 'photos.0.file', '/etc/passwd', '#/photos/0/file', 'in or below the folder'],
    ['a digest in capitals', 'photos.0.sha256', 'A'.repeat(64), '#/photos/0/sha256', '64 hexadecimal digits'],
    ['no crew', 'inspection.crewSize', 0, '#/inspection/crewSize', 'must be from 1 to 20'],
    [
      'null where nobody may leave it open',
      'failedRepairs',
      null,
      '#/failedRepairs',
      'must be a whole number, not null',
    ],
    [
      'an answer that is true',
      'inspection.answers.0.value',
      true,
      '#/inspection/answers/0/value',
      'must be text, a number',
    ],
    [
      'pieces below nothing',
      'inspection.answers.0.value',
      { 'RO-300': -1 },
      '#/inspection/answers/0/value/RO-300',
      'must be from 0',
    ],
  ])('is refused with %s', (_says, path, value, pointer, detail) => {
    const faults = faultsOf(claimJsonWith(path, value));
    expect(faults).toHaveLength(1);
    expect(faults[0]?.pointer).toBe(pointer);
    expect(faults[0]?.detail).toContain(detail);
  });

  it.each([
    ['a return without its reason', { ground: 'return' }, '#/returnReason'],
    ['a reason for return without a return', { returnReason: 'wrong item' }, '#/returnReason'],
    ['no delivery', { events: { filed: '2026-03-05T09:30:00-05:00' } }, '#/events/delivered'],
    [
      'a delivery after filing',
      { events: { delivered: '2026-03-05T10:00:00-05:00', filed: '2026-03-05T09:30:00-05:00' } },
      '#/events/filed',
    ],
    [
      'trouble noticed on a day before the delivery',
      { events: { delivered: '2026-03-04T00:30:00-05:00', noticed: '2026-03-03T23:30:00-05:00' } },
      '#/events/noticed',
    ],
    [
      'an order placed after the delivery',
      { order: { ...aClaimFile().order, placedOn: '2026-03-05' } },
      '#/order/placedOn',
    ],
    ['a day of judging before the delivery', { asOf: '2026-03-04T10:00:00-05:00' }, '#/asOf'],
    [
      'two answers to one item',
      {
        inspection: {
          ...aClaimFile().inspection,
          answers: [
            { item: 'serial', value: 'A' },
            { item: 'serial', value: 'B' },
          ],
        },
      },
      '#/inspection/answers/1/item',
    ],
    ['two photos of one id', { photos: [aClaimFile().photos[0], aClaimFile().photos[0]] }, '#/photos/1/id'],
  ])('is refused with %s', (_says, changes, pointer) => {
    expect(faultsOf({ ...aClaimFile(), ...changes }).map((fault) => fault.pointer)).toEqual([pointer]);
  });

  it('may say that the trouble was noticed minutes before the receipt was signed', () => {
    const events = { delivered: '2026-03-04T10:10:00-05:00', noticed: '2026-03-04T10:05:00-05:00' };
    expect(readClaimFile({ ...aClaimFile(), events }).ok).toBe(true);
  });

  it('has no more answers and photos than its limits', () => {
    const answers = (count: number) =>
      Array.from({ length: count }, (_, index) => ({ item: `item-${index}`, value: null }));
    const inspection = (count: number) => ({ ...aClaimFile().inspection, answers: answers(count) });
    expect(readClaimFile({ ...aClaimFile(), inspection: inspection(CLAIM_LIMITS.answers) }).ok).toBe(true);
    expect(faultsOf({ ...aClaimFile(), inspection: inspection(CLAIM_LIMITS.answers + 1) })[0]?.pointer).toBe(
      '#/inspection/answers',
    );
    const photo = aClaimFile().photos[0];
    const photos = Array.from({ length: CLAIM_LIMITS.photos + 1 }, (_, index) => ({ ...photo, id: `p${index}` }));
    expect(faultsOf({ ...aClaimFile(), photos })[0]?.pointer).toBe('#/photos');
  });

  it('keeps names of members that JavaScript gives a meaning to from doing anything', () => {
    const json = JSON.parse('{"__proto__": {"ground": "damage"}, "constructor": 1}') as object;
    expect(
      faultsOf(json)
        .slice(0, 2)
        .map(({ pointer }) => pointer),
    ).toEqual(['#/__proto__', '#/constructor']);
  });
});
