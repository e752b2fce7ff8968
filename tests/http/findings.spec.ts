import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { AnswerValue } from '../../src/inspections/inspections.contract.js';
import {
  Client,
  codeOf,
  crewHand,
  house,
  resourceApp,
  stock,
  visitBody,
  type Hand,
  type House,
} from '../support/resources.js';
import type { TestApp } from '../support/test-app.js';
import { freshDatabase } from '../support/test-database.js';

const data = freshDatabase();
let test: TestApp;
let home: House;
let crew: Hand;
let at: string;
const client = new Client(() => test);

beforeAll(async () => {
  test = await resourceApp(data().url);
});
afterAll(() => test.app.close());
beforeEach(async () => {
  home = await house(data());
  await stock(test, home);
  await walk(visitBody());
});

async function walk(body: object): Promise<void> {
  const visit = (await client.post(home.analyst, '/v1/visits', body)).json<{ id: string }>().id;
  crew = await crewHand(data(), home.tenant, visit);
  const started = await client.post(crew, `/v1/visits/${visit}/inspections`, {
    id: randomUUID(),
    serial: 'DR7K204518',
    startedAt: '2026-03-02T08:30:00Z',
  });
  at = `/v1/inspections/${started.json<{ id: string }>().id}`;
}

async function answer(values: Record<string, AnswerValue>): Promise<void> {
  const answers = Object.entries(values).map(([item, value]) => ({ item, value, answeredAt: '2026-03-02T08:31:00Z' }));
  expect((await client.post(crew, `${at}/answers`, { answers })).statusCode).toBe(201);
}

interface Findings {
  evidenceModel: string;
  policy: string;
  findings: {
    subject: string;
    explanations: { probability: number }[];
    evidence: { observation: string; decibans: number; counted: boolean }[];
  }[];
  nextChecks: { item: string; says: { en: string }; bitsPerSecond?: number }[];
}
const findings = async (who = home.analyst): Promise<Findings> =>
  (await client.get(who, `${at}/findings`)).json<Findings>();

describe('findings', () => {
  it('are none before anything is seen, and open with what is seen, weighed and ranked', async () => {
    expect((await findings()).findings).toEqual([]);
    await answer({ 'crew-size': 2, 'time-in-use': ['new-today'], 'carton-marks': ['corner-crushed'] });
    const found = await findings();
    expect(found).toMatchObject({ evidenceModel: 'bed-base/1', policy: 'us-powered-furniture/1' });
    const finding = found.findings[0];
    if (finding === undefined) throw new Error('a crushed corner opened no finding');
    const probabilities = finding.explanations.map((each) => each.probability);
    expect(probabilities.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 9);
    expect(probabilities).toEqual(probabilities.toSorted((a, b) => b - a));
    expect(finding.evidence.some((each) => each.counted && each.decibans !== 0)).toBe(true);
    const worth = found.nextChecks.map((check) => check.bitsPerSecond ?? 0);
    expect(worth.length).toBeGreaterThan(0);
    expect(worth).toEqual(worth.toSorted((a, b) => b - a));
  });

  it('change when an answer does', async () => {
    await answer({ 'crew-size': 2, 'time-in-use': ['new-today'], 'carton-marks': ['corner-crushed'] });
    const before = await findings();
    await answer({ 'impact-indicator': ['tripped'] });
    const after = await findings();
    expect(after.findings[0]?.explanations).not.toEqual(before.findings[0]?.explanations);
    expect(after.nextChecks.map((check) => check.item)).not.toContain('impact-indicator');
  });

  it('reach the crew as the next checks in words, without the reckoning', async () => {
    await answer({ 'crew-size': 2, 'time-in-use': ['new-today'], 'carton-marks': ['corner-crushed'] });
    const told = await findings(crew);
    expect(Object.keys(told)).toEqual(['nextChecks']);
    expect(told.nextChecks.length).toBeGreaterThan(0);
    for (const check of told.nextChecks) {
      expect(Object.keys(check).sort()).toEqual(['effortSeconds', 'item', 'says']);
      expect(check.says.en.length).toBeGreaterThan(10);
    }
  });

  it('are not for retailers, other crews or other tenants', async () => {
    const other = await house(data());
    expect(codeOf(await client.get(home.retailerPerson, `${at}/findings`))).toBe('not-allowed');
    expect(codeOf(await client.get(other.analyst, `${at}/findings`))).toBe('not-found');
    const own = at;
    await walk(visitBody());
    expect(codeOf(await client.get(crew, `${own}/findings`))).toBe('not-found');
  });

  it('need a policy for the place of the visit', async () => {
    await walk(visitBody({ jurisdiction: 'CA-ON' }));
    const answered = await client.get(home.analyst, `${at}/findings`);
    expect([answered.statusCode, codeOf(answered)]).toEqual([422, 'policy-missing']);
    expect(answered.json<{ detail: string }>().detail).toContain('CA-ON');
  });
});
