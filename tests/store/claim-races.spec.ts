import { randomUUID } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { ClaimAssessmentService } from '../../src/claims/claim-assessment.service.js';
import { Jobs } from '../../src/platform/jobs/jobs.js';
import { claimDesk, type ClaimView } from '../support/claims.js';
import { codeOf, hand, statusesOf, type Answered, type Hand } from '../support/resources.js';

const desk = claimDesk();
const APPROVED = { outcome: 'approved' } as const;

const times = <T>(count: number, make: (n: number) => Promise<T>): Promise<T[]> =>
  Promise.all(Array.from({ length: count }, (_, n) => make(n)));
const people = (count: number): Promise<Hand[]> => times(count, () => hand(desk.data(), desk.home.tenant, ['analyst']));
const codesOf = (answers: readonly Answered[]): string[] =>
  answers.filter((answer) => answer.statusCode >= 400).map(codeOf);
const count = (kinds: readonly string[], kind: string): number => kinds.filter((each) => each === kind).length;
const large = async (): Promise<ClaimView> =>
  desk.proposed({ visitId: await desk.delivered(129_900) }, desk.home.retailerPerson);

/** One of the answers is 201, and all others were refused for one of these reasons. */
function oneWins(answers: readonly Answered[], reasons: readonly string[]): void {
  expect(statusesOf(answers).filter((status) => status === 201)).toHaveLength(1);
  const codes = codesOf(answers);
  expect(codes).toHaveLength(answers.length - 1);
  for (const code of codes) expect(reasons).toContain(code);
}

describe('ten at once', () => {
  it('decide a claim once, with one event, whatever each of them decided', async () => {
    const { id } = await desk.proposed();
    const analysts = await people(10);
    const answers = await times(10, (n) => {
      const declined = { outcome: 'declined', reason: 'goodwill', words: `In the opinion of number ${n}.` };
      return desk.actAt(analysts[n] as Hand, id, 'decisions', '"v3"', n % 2 === 0 ? APPROVED : declined);
    });
    oneWins(answers, ['version-changed', 'claim-state-forbids']);
    const kinds = await desk.kinds(id);
    expect([count(kinds, 'decision-made'), count(kinds, 'claim-decided')]).toEqual([1, 1]);
    expect(await desk.counts()).toMatchObject({ claim_decision: 1 });
    expect(await desk.read(id)).toMatchObject({ state: 'decided', version: 4 });
  });

  it('decide it once also when none of them looks at the version', async () => {
    const { id } = await desk.proposed();
    const analysts = await people(10);
    const answers = await times(10, (n) => desk.actAt(analysts[n] as Hand, id, 'decisions', '*', APPROVED));
    oneWins(answers, ['claim-state-forbids']);
    expect(count(await desk.kinds(id), 'claim-decided')).toBe(1);
    expect(await desk.counts()).toMatchObject({ claim_decision: 1 });
  });

  it('file one draft once: one number, one event, one job', async () => {
    const { id } = await desk.filed({ file: false });
    const answers = await times(10, () => desk.actAt(desk.crew, id, 'filing', '"v1"'));
    oneWins(answers, ['version-changed', 'claim-state-forbids']);
    expect(await desk.kinds(id)).toEqual(['claim-drafted', 'claim-filed']);
    expect(await desk.assess()).toBe(1);
  });

  it('open claims on one unit: one is opened, the others are told that there is one', async () => {
    const answers = await times(10, () => desk.open(desk.crew, { id: randomUUID() }));
    oneWins(answers, ['duplicate-claim']);
    expect(await desk.counts()).toMatchObject({ claim: 1, claim_event: 2 });
  });

  it('open claims on ten units: all are opened, each with a number of its own', async () => {
    const visits: string[] = [];
    for (let n = 0; n < 10; n += 1) visits.push(await desk.delivered());
    const answers = await times(10, (n) => desk.open(desk.home.retailerPerson, { visitId: visits[n] }));
    expect(statusesOf(answers)).toEqual(Array<number>(10).fill(201));
    expect(new Set(answers.map((answer) => answer.json<ClaimView>().number)).size).toBe(10);
  });

  it('confirm a waiting decision once', async () => {
    const { id } = await large();
    await desk.acts(id, [desk.home.analyst, 'decisions', APPROVED]);
    const analysts = await people(10);
    const answers = await times(10, (n) => {
      const [noun, body] = n % 2 ? ['refusal', { reason: 'Not like this.' }] : ['confirmation', {}];
      return desk.actAt(analysts[n] as Hand, id, `decisions/1/${noun}`, '*', body);
    });
    oneWins(answers, ['claim-state-forbids']);
    const kinds = await desk.kinds(id);
    expect(count(kinds, 'claim-decided') + count(kinds, 'decision-sent-back')).toBe(1);
  });

  it('pay a claim once', async () => {
    const { id } = await desk.proposed();
    const { analyst } = desk.home;
    await desk.acts(id, [analyst, 'decisions', APPROVED], [analyst, 'settlement-order', {}]);
    const answers = await times(10, (n) =>
      desk.actAt(analyst, id, 'settlement', '*', { amountMinor: 27_000, currency: 'USD', reference: `PAY-${n}` }),
    );
    oneWins(answers, ['claim-state-forbids']);
    expect(await desk.counts()).toMatchObject({ settlement: 1 });
    expect(count(await desk.kinds(id), 'claim-settled')).toBe(1);
  });
});

describe('two analysts at once', () => {
  it('each with words of their own: one is taken, and the other can send theirs again as it is', async () => {
    const { id } = await desk.proposed();
    const words = ['Please send a photo of the label.', 'Was the tape on the carton cut before?'];
    const asking = [desk.home.analyst, desk.second];
    const answers = await times(2, (n) =>
      desk.actAt(asking[n] as Hand, id, 'assessments', '"v3"', { words: words[n] }),
    );
    oneWins(answers, ['version-changed', 'claim-state-forbids']);
    const late = answers.findIndex((answer) => answer.statusCode !== 201);
    await desk.assess();
    await desk.acts(id, [asking[late] as Hand, 'assessments', { words: words[late] }]);
    const told = (await desk.events(id)).flatMap(({ body }) =>
      typeof body['words'] === 'string' ? [body['words']] : [],
    );
    expect(told.toSorted()).toEqual(words.toSorted());
  });

  it('one decides while the other asks: the claim is either decided or waits for the answer, never both', async () => {
    const { id } = await desk.proposed();
    const answers = await Promise.all([
      desk.actAt(desk.home.analyst, id, 'decisions', '"v3"', APPROVED),
      desk.actAt(desk.second, id, 'questions', '"v3"', { asked: 'Was it sealed?', of: 'crew' }),
    ]);
    oneWins(answers, ['version-changed', 'claim-state-forbids']);
    const { state } = await desk.read(id);
    const kinds = await desk.kinds(id);
    expect(kinds.includes('claim-decided')).toBe(state === 'decided');
    expect(kinds.includes('information-asked')).toBe(state === 'needs information');
    expect(await desk.counts()).toMatchObject({
      claim_decision: state === 'decided' ? 1 : 0,
      information_request: state === 'decided' ? 0 : 1,
    });
  });
});

describe('opposite acts at once', () => {
  it('filing and withdrawing a draft: one after the other, in either order', async () => {
    for (let round = 0; round < 5; round += 1) {
      const { id } = await desk.filed({ file: false });
      const [filing, withdrawal] = await Promise.all([
        desk.actAt(desk.crew, id, 'filing', '*'),
        desk.actAt(desk.home.retailerPerson, id, 'withdrawal', '*', { reason: 'It works after all.' }),
      ]);
      expect(withdrawal.statusCode).toBe(201);
      const kinds = await desk.kinds(id);
      if (filing.statusCode === 201) expect(kinds).toEqual(['claim-drafted', 'claim-filed', 'claim-withdrawn']);
      else {
        expect(codeOf(filing)).toBe('claim-withdrawn');
        expect(kinds).toEqual(['claim-drafted', 'claim-withdrawn']);
      }
      await desk.assess();
      expect(await desk.read(id)).toMatchObject({ state: 'withdrawn' });
      expect((await desk.kinds(id)).at(-1)).toBe('claim-withdrawn');
    }
  });

  it('withdrawing and deciding: one of them stands', async () => {
    const { id } = await desk.proposed();
    const answers = await Promise.all([
      desk.actAt(desk.home.analyst, id, 'decisions', '*', APPROVED),
      desk.actAt(desk.home.retailerPerson, id, 'withdrawal', '*', { reason: 'It works after all.' }),
    ]);
    oneWins(answers, ['claim-withdrawn', 'claim-state-forbids']);
    expect(['decided', 'withdrawn']).toContain((await desk.read(id)).state);
    await desk.kinds(id);
  });

  it('appealing and closing: neither is lost', async () => {
    const { id } = await desk.proposed();
    const declined = { outcome: 'declined', reason: 'goodwill', words: 'Nothing is broken.' };
    await desk.acts(id, [desk.home.analyst, 'decisions', declined]);
    const answers = await Promise.all([
      desk.actAt(desk.home.analyst, id, 'closure', '*'),
      desk.actAt(desk.home.retailerPerson, id, 'appeals', '*', { words: 'Look again.' }),
    ]);
    const kinds = await desk.kinds(id);
    expect(answers[1]?.statusCode).toBe(201);
    expect(kinds.at(-1)).toBe('claim-reopened');
    expect(kinds.includes('claim-closed')).toBe(answers[0]?.statusCode === 201);
    expect(await desk.read(id)).toMatchObject({ state: 'filed' });
  });
});

describe('the job that assesses', () => {
  const assess = (id: string): Promise<void> => desk.test.app.get(ClaimAssessmentService).assess(desk.home.tenant, id);

  it('proposes once, however often it runs at once and again', async () => {
    const { id } = await desk.filed();
    await times(6, () => assess(id));
    await assess(id);
    await desk.test.app.get(Jobs).workOff();
    expect(await desk.kinds(id)).toEqual(['claim-drafted', 'claim-filed', 'assessment-started', 'claim-proposed']);
    expect(await desk.counts()).toMatchObject({ claim_assessment: 1 });
    expect(await desk.read(id)).toMatchObject({ state: 'proposed', version: 3 });
  });

  it('does not bring a claim back that is withdrawn at the same moment', async () => {
    for (let round = 0; round < 5; round += 1) {
      const { id } = await desk.filed();
      const [withdrawal] = await Promise.all([
        desk.actAt(desk.home.retailerPerson, id, 'withdrawal', '*', { reason: 'It works after all.' }),
        assess(id),
      ]);
      expect(withdrawal.statusCode).toBe(201);
      expect((await desk.kinds(id)).at(-1)).toBe('claim-withdrawn');
      expect(await desk.read(id)).toMatchObject({ state: 'withdrawn' });
    }
  });
});
