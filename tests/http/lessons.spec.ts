import { describe, expect, it } from 'vitest';
import { DecidedLessonsService } from '../../src/claims/decided-lessons.service.js';
import type { Actor } from '../../src/access/access.contract.js';
import type { EvidenceModel } from '../../src/diagnosis/diagnosis.contract.js';
import type { Lesson, ModelComparison, ModelReport } from '../../src/diagnosis/learning.contract.js';
import type { SubjectStudy } from '../../src/diagnosis/study.contract.js';
import { claimDesk, type ClaimView } from '../support/claims.js';
import { codeOf, house, pointersOf, type Answered, type House } from '../support/resources.js';

const desk = claimDesk();
const MODEL = '/v1/evidence-models/bed-base';
const STRENGTH = { priorClaims: 10, likelihoodClaims: 5, statedOn: '2026-03-01' };
const SHORT = { ground: 'shortage', returnReason: undefined, wish: undefined } as const;
const WHY = { outcome: 'approved', reason: 'goodwill', words: 'A good customer of many years.' } as const;

/** A proposed claim: electronics left out of a sealed carton, as the shipped model has it. */
async function shortage(): Promise<ClaimView> {
  return desk.proposed({ ...SHORT, inspectionId: await desk.inspected() });
}

async function decided(over: object = {}): Promise<ClaimView> {
  const { id } = await shortage();
  return desk.acts(id, [desk.home.analyst, 'decisions', { ...WHY, ...over }]);
}

function actor(home: House): Actor {
  return { kind: 'person', tenant: home.tenant, id: home.owner.id, name: 'Owner', roles: ['policy owner'] };
}

async function lessons(home = desk.home, span: { from?: string; until?: string } = {}): Promise<Lesson[]> {
  const service = desk.test.app.get(DecidedLessonsService, { strict: false });
  return Array.fromAsync(service.lessons(actor(home), 'bed-base', span));
}

const learn = (over: object = {}, who = desk.home.owner): Promise<Answered> =>
  desk.client.post(who, `${MODEL}/lessons-draft`, { ...STRENGTH, ...over });

describe('decided claims as lessons', () => {
  it('are what led and what was seen, where the proposal stood', async () => {
    const { number } = await decided();
    expect(await lessons()).toMatchObject([
      {
        claim: number,
        model: 'bed-base',
        // 2026-03-02T09:00Z is four in the morning of the same day in New York.
        decidedOn: '2026-03-02',
        present: expect.arrayContaining(['electronics-parts-short']) as string[],
        absent: expect.arrayContaining(['carton-taped-again']) as string[],
        explanations: { contents: 'electronics-left-out' },
        named: false,
      },
    ]);
  });

  it('are nothing while undecided, read otherwise, or opened again', async () => {
    const { id } = await shortage();
    expect(await lessons()).toEqual([]);
    await desk.acts(id, [desk.home.analyst, 'decisions', { ...WHY, reason: 'evidence read otherwise' }]);
    expect(await lessons()).toEqual([]);
    await desk.acts(id, [desk.home.retailerPerson, 'appeals', { words: 'Look at it once more.' }]);
    await desk.assess();
    expect(await lessons()).toEqual([]);
    await desk.acts(id, [desk.home.analyst, 'decisions', WHY]);
    expect(await lessons()).toHaveLength(1);
  });

  it('are what a decision names, which the dossier and the trail keep', async () => {
    const explanations = { contents: 'fell-out-on-the-way' };
    const { id } = await decided({ reason: 'evidence read otherwise', explanations });
    expect(await lessons()).toMatchObject([{ explanations, named: true }]);
    const dossier = await desk.client.get(desk.home.analyst, `/v1/claims/${id}/dossier`);
    expect(dossier.json()).toMatchObject({ decisions: [{ explanations }] });
    expect(await desk.events(id)).toContainEqual(
      expect.objectContaining({ kind: 'decision-made', body: expect.objectContaining({ explanations }) as object }),
    );
    const seenByRetailer = await desk.client.get(desk.home.retailerPerson, `/v1/claims/${id}/dossier`);
    expect(seenByRetailer.json<{ decisions: object[] }>().decisions[0]).not.toHaveProperty('explanations');
  });

  it.each([
    [{ contents: 'haunted' }, ['#/explanations/contents']],
    [{ drive: 'motor-seized' }, ['#/explanations/drive']],
    [{ contents: 7 }, ['#/explanations/contents']],
    [{}, ['#/explanations']],
    ['electronics-left-out', ['#/explanations']],
  ])('cannot be named %j, and the claim stays as it is', async (explanations, pointers) => {
    const { id, version } = await shortage();
    const answer = await desk.act(desk.home.analyst, id, 'decisions', { ...WHY, explanations });
    expect([answer.statusCode, codeOf(answer)]).toEqual([400, 'invalid-request']);
    expect(pointersOf(answer)).toEqual(pointers);
    expect(await desk.read(id)).toMatchObject({ state: 'proposed', version });
  });

  it('are read over more than one page, each once', async () => {
    const { id } = await decided();
    const db = desk.data();
    // Copies of the one decided claim; a closed one leaves its unit free.
    await db.rows(
      `with k as (select gen_random_uuid() c, gen_random_uuid() a, gen_random_uuid() d from generate_series(1, 2100)),
       c as (insert into claim (id, tenant_id, retailer_id, visit_id, unit_id, state, ground, noticed_at, currency, assessment_id,
           decision_id, created_by)
         select k.c, tenant_id, retailer_id, visit_id, unit_id, 'closed', ground, noticed_at, currency, k.a, k.d, created_by
         from k, claim where id = $1),
       a as (insert into claim_assessment (id, tenant_id, claim_id, facts, facts_hash, assessment, made_at)
         select k.a, tenant_id, k.c, facts, facts_hash, assessment, made_at from k, claim_assessment where claim_id = $1)
       insert into claim_decision (id, tenant_id, claim_id, n, assessment_id, outcome, state, body, total_minor, decided_by, decided_at)
       select k.d, tenant_id, k.c, 1, k.a, outcome, state, body, total_minor, decided_by, decided_at
       from k, claim_decision where claim_id = $1`,
      [id],
    );
    const read = await lessons();
    expect(read).toHaveLength(2101);
    expect(new Set(read.map(({ claim }) => claim)).size).toBe(2101);
  });

  it('end at the dates that were asked for, and at the wall of the tenant', async () => {
    await decided();
    expect(await lessons(desk.home, { from: '2026-03-02', until: '2026-03-02' })).toHaveLength(1);
    expect(await lessons(desk.home, { from: '2026-03-03' })).toEqual([]);
    expect(await lessons(desk.home, { until: '2026-03-01' })).toEqual([]);
    expect(await lessons(await house(desk.data()))).toEqual([]);
  });
});

describe('POST lessons-draft', () => {
  it('writes the next version as a draft that a second person publishes', async () => {
    await decided();
    const answer = await learn();
    expect(answer.statusCode, `answered: ${answer.body}`).toBe(201);
    expect(answer.headers['location']).toBe(`${MODEL}/versions/2`);
    const written = answer.json<{ document: EvidenceModel; changed: number }>();
    expect(written).toMatchObject({
      version: 2,
      state: 'draft',
      learntOn: 1,
      lessons: { read: 1, used: 1, named: 0, otherModels: 0, unknownExplanations: 0 },
    });
    expect(written.changed).toBeGreaterThan(10);
    const prior = written.document.explanations.find((one) => one.id === 'electronics-left-out');
    expect(prior).toMatchObject({
      learnt: { claims: 1 },
      grounds: expect.stringMatching(/^Learnt from 1 decided/) as string,
    });
    expect(written.document.basis).toContain('as stated on 2026-03-01');
    const publication = `${MODEL}/versions/2/publication`;
    const seen = { 'if-match': String(answer.headers['etag']) };
    expect(codeOf(await desk.client.post(desk.home.owner, publication, {}, seen))).toBe('same-person');
    expect((await desk.client.post(desk.home.secondOwner, publication, {}, seen)).statusCode).toBe(201);
  });

  it('is refused where there is nothing to learn from', async () => {
    const answer = await learn();
    expect([answer.statusCode, codeOf(answer)]).toEqual([409, 'nothing-to-learn']);
    await decided();
    expect(codeOf(await learn({ until: '2026-03-01' }))).toBe('nothing-to-learn');
    const unknown = await desk.client.post(desk.home.owner, '/v1/evidence-models/none/lessons-draft', STRENGTH);
    expect(codeOf(unknown)).toBe('evidence-model-not-published');
  });

  it('is for policy owners, with a strength that is stated', async () => {
    expect((await learn({}, desk.home.analyst)).statusCode).toBe(403);
    const answer = await learn({ priorClaims: 0, likelihoodClaims: undefined, statedOn: 'today' });
    expect([...new Set(pointersOf(answer))].toSorted()).toEqual(['#/likelihoodClaims', '#/priorClaims', '#/statedOn']);
  });
});

describe('GET report', () => {
  const report = (version: number, query = ''): Promise<Answered> =>
    desk.client.get(desk.home.analyst, `${MODEL}/versions/${version}/report${query}`);

  it('scores a version on the decided claims, with abstention under a policy', async () => {
    await decided({ reason: 'evidence read otherwise', explanations: { contents: 'fell-out-on-the-way' } });
    const plain = (await report(1)).json<ModelReport>();
    expect(plain).toMatchObject({
      format: 'evidence-report/1',
      models: [{ id: 'bed-base', version: 1 }],
      bar: null,
      all: { cases: 1, accuracy: { count: 0, of: 1 }, abstention: null },
      named: { cases: 1 },
    });
    // One case that is another class for each side: chance agreement is 0 and so is kappa.
    expect(plain.all.kappa.explanations).toMatchObject({ kappa: 0, expected: 0 });
    const barred = (await report(1, '?policy=us-powered-furniture&on=2026-03-01')).json<ModelReport>();
    expect(barred.all.abstention).toMatchObject({ toAPerson: { of: 1 } });
  });

  it('sets a draft against the version it was learnt on', async () => {
    await decided();
    await learn();
    const comparison = (await report(1, '?challenger=2')).json<ModelComparison>();
    expect(comparison).toMatchObject({ format: 'evidence-comparison/1', cases: 1, bothRight: 1, mcnemarP: 1 });
    expect(comparison.challenger.models).toMatchObject([{ version: 2 }]);
  });

  it('says what is missing', async () => {
    expect(codeOf(await report(9))).toBe('not-found');
    expect(codeOf(await report(1, '?challenger=9'))).toBe('not-found');
    expect(pointersOf(await report(1, '?policy=us-powered-furniture'))).toEqual(['#/on']);
    expect(codeOf(await report(1, '?policy=none&on=2026-03-01'))).toBe('policy-missing');
    expect((await report(1, '?challenger=two')).statusCode).toBe(400);
    const crew = await desk.client.get(desk.crew, `${MODEL}/versions/1/report`);
    expect(crew.statusCode).toBe(403);
  });
});

describe('GET study', () => {
  it('says what a version tells apart without a claim, to whoever may read it', async () => {
    const study = await desk.client.get(desk.home.analyst, `${MODEL}/versions/1/study`);
    expect(study.statusCode, `answered: ${study.body}`).toBe(200);
    const { format, subjects } = study.json<{ format: string; subjects: SubjectStudy[] }>();
    expect([format, ...subjects.map(({ subject }) => subject)]).toEqual([
      'evidence-study/1',
      'carton',
      'structure',
      'drive',
      'contents',
    ]);
    // Ten explanations of the carton make 10·9/2 pairs, the hardest first.
    const decibans = subjects[0]?.pairs.map((pair) => pair.decibans) ?? [];
    expect(decibans).toHaveLength(45);
    expect(decibans).toEqual(decibans.toSorted((a, b) => a - b));
    expect(codeOf(await desk.client.get(desk.home.analyst, `${MODEL}/versions/9/study`))).toBe('not-found');
    expect((await desk.client.get(desk.crew, `${MODEL}/versions/1/study`)).statusCode).toBe(403);
    const other = await house(desk.data());
    expect(codeOf(await desk.client.get(other.analyst, `${MODEL}/versions/1/study`))).toBe('not-found');
  });
});
