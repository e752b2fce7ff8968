import { describe, expect, it } from 'vitest';
import { readLesson } from '../../diagnosis/learning.contract.js';
import { OVERRIDE_REASONS } from '../claims.contract.js';
import { explanationFaults, lessonOf, type DecidedFindings } from './lesson-of.js';

const decided = (changes: Partial<DecidedFindings> = {}): DecidedFindings => ({
  claim: '12345670',
  model: 'bed-base',
  decidedOn: '2026-03-31',
  reason: null,
  named: null,
  findings: [
    {
      subject: 'carton',
      leading: 'dropped-on-the-way',
      evidence: [
        { observation: 'carton-corner-crushed', sighting: 'present' },
        { observation: 'impact-tripped', sighting: 'present' },
      ],
    },
    {
      subject: 'drive',
      leading: 'motor-jarred',
      evidence: [
        { observation: 'carton-corner-crushed', sighting: 'present' },
        { observation: 'handset-dark', sighting: 'absent' },
      ],
    },
  ],
  ...changes,
});

describe('what a decision teaches', () => {
  it('is the leading explanations and everything that was seen, once, where the proposal stood', () => {
    const lesson = lessonOf(decided());
    expect(lesson).toEqual({
      format: 'lesson/1',
      claim: '12345670',
      model: 'bed-base',
      decidedOn: '2026-03-31',
      present: ['carton-corner-crushed', 'impact-tripped'],
      absent: ['handset-dark'],
      explanations: { carton: 'dropped-on-the-way', drive: 'motor-jarred' },
      named: false,
    });
    expect(readLesson(lesson)).toEqual({ ok: true, value: lesson });
  });

  it('is nothing where the decision speaks against the finding, and the leading ones for any other reason', () => {
    const silent = OVERRIDE_REASONS.filter((reason) => lessonOf(decided({ reason })) === undefined);
    expect(silent).toEqual(['evidence read otherwise', 'proposal is wrong']);
  });

  it('is what the decision names, and only that', () => {
    const named = { drive: 'handset-not-paired' };
    expect(lessonOf(decided({ named, reason: 'evidence read otherwise' }))).toMatchObject({
      explanations: named,
      named: true,
      present: ['carton-corner-crushed', 'impact-tripped'],
    });
  });

  it('is nothing where there was no finding', () => {
    expect(lessonOf(decided({ findings: [] }))).toBeUndefined();
  });
});

describe('explanations that a decision names', () => {
  const findings = [{ subject: 'drive', explanations: [{ id: 'motor-jarred' }, { id: 'motor-seized' }] }];

  it('must be of findings that the assessment has', () => {
    expect(explanationFaults(findings, { drive: 'motor-seized' })).toEqual([]);
    expect(explanationFaults(findings, { drive: 'haunted', carton: 'motor-seized', 'a/b': 7 })).toMatchObject([
      { pointer: '#/explanations/drive', detail: '"haunted" is not an explanation of "drive".' },
      { pointer: '#/explanations/carton', detail: expect.stringContaining('It has: drive.') as string },
      { pointer: '#/explanations/a~1b' },
    ]);
    expect(explanationFaults(findings, { drive: null })).toHaveLength(1);
    expect(explanationFaults([], {})).toMatchObject([{ pointer: '#/explanations' }]);
  });
});
