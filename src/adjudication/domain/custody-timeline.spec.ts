import { describe, expect, it } from 'vitest';
import { aClaimFile } from '../../../tests/support/claim-file.js';
import type { CustodyStage } from '../adjudication.contract.js';
import { custodyTimeline, type CustodyTimeline } from './custody-timeline.js';

const timeline = (...custody: CustodyStage[]): CustodyTimeline =>
  custodyTimeline({ delivery: { ...aClaimFile().delivery, custody } });

describe('the custody timeline', () => {
  it('orders the stages as the trade passes goods on, whatever the order of the records', () => {
    const { stages, gaps } = timeline(
      { stage: 'last mile', party: 'carrier', condition: 'exceptions', at: '2026-03-04T13:00:00Z' },
      { stage: 'made', party: 'maker', condition: 'clean' },
      { stage: 'line haul', party: 'carrier', condition: 'clean', at: '2026-03-01T10:00:00Z' },
      { stage: 'packed', party: 'maker', condition: 'clean' },
      { stage: 'stored', party: 'seller', condition: 'clean' },
    );
    expect(stages.map(({ stage, party, condition }) => [stage, party, condition])).toEqual([
      ['made', 'maker', 'clean'],
      ['packed', 'maker', 'clean'],
      ['stored', 'seller', 'clean'],
      ['line haul', 'carrier', 'clean'],
      ['last mile', 'carrier', 'exceptions'],
    ]);
    expect(gaps).toEqual([]);
  });

  it('says between which hand-overs the goods came to harm', () => {
    const { harmBetween } = timeline(
      { stage: 'line haul', party: 'carrier', condition: 'clean' },
      { stage: 'cross-dock', party: 'carrier', condition: 'not known' },
      { stage: 'last mile', party: 'carrier', condition: 'exceptions' },
    );
    expect(harmBetween).toEqual({ clean: 'line haul', exceptions: 'last mile' });
    expect(timeline({ stage: 'packed', party: 'maker', condition: 'exceptions' }).harmBetween).toBeNull();
    expect(timeline({ stage: 'packed', party: 'maker', condition: 'clean' }).harmBetween).toBeNull();
  });

  it('names every stage without a record, every unknown condition, and no dock that nobody crossed', () => {
    const { stages, gaps } = timeline({ stage: 'last mile', party: 'carrier', condition: 'not known' });
    expect(gaps).toEqual([
      'There is no record of "made".',
      'There is no record of "packed".',
      'There is no record of "stored".',
      'There is no record of "line haul".',
      'Nobody recorded the condition when the carrier took over for "last mile".',
    ]);
    expect(stages.at(0)).toEqual({
      stage: 'made',
      party: null,
      condition: null,
      at: null,
      gap: 'There is no record of "made".',
    });
  });

  it('keeps two hand-overs of one stage in the order of their times', () => {
    const { stages } = timeline(
      { stage: 'stored', party: 'carrier', condition: 'exceptions', at: '2026-03-03T10:00:00Z' },
      { stage: 'stored', party: 'seller', condition: 'clean', at: '2026-03-01T10:00:00+01:00' },
    );
    expect(stages.filter(({ stage }) => stage === 'stored').map(({ party }) => party)).toEqual(['seller', 'carrier']);
  });

  it('notices times that run backwards', () => {
    const { gaps } = timeline(
      { stage: 'line haul', party: 'carrier', condition: 'clean', at: '2026-03-05T10:00:00Z' },
      { stage: 'last mile', party: 'carrier', condition: 'clean', at: '2026-03-04T10:00:00Z' },
    );
    expect(gaps).toContain('"last mile" is recorded before "line haul", which comes first; one of the times is wrong.');
  });
});
