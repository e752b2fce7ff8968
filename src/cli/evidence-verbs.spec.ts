import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { seededNumbers } from '../../tests/support/evidence-models.js';
import { aLesson, drawnLessons } from '../../tests/support/lessons.js';
import { checkEvidenceModel, type EvidenceModel } from '../diagnosis/diagnosis.contract.js';
import type { ModelComparison, ModelReport } from '../diagnosis/learning.contract.js';
import { projectRoot } from '../platform/config/project-root.js';
import { runCommandLine } from './command-line.js';
import { orderTable, orderTotals, sampleNames, sampleOrders } from './samples/sample-orders.js';
import { VERBS } from './verbs.js';

const folder = mkdtempSync(join(tmpdir(), 'as-noted-evidence-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function file(name: string, content: string): string {
  const path = join(folder, name);
  writeFileSync(path, content);
  return path;
}

async function run(args: readonly string[], stdin = ''): Promise<{ code: number; out: string; err: string }> {
  const out: string[] = [];
  const err: string[] = [];
  const code = await runCommandLine(['evidence', ...args], VERBS, {
    out: (line) => void out.push(line),
    err: (line) => void err.push(line),
    stdin: () => Promise.resolve(new TextEncoder().encode(stdin)),
  });
  return { code, out: out.join('\n'), err: err.join('\n') };
}

const silent = { out: () => {}, err: () => {}, stdin: () => Promise.resolve(new Uint8Array()) };
const shippedPath = join(projectRoot(), 'src/diagnosis/shipped/bed-base.1.json');
const shipped = JSON.parse(readFileSync(shippedPath, 'utf8')) as EvidenceModel;
const drawn = [...drawnLessons(shipped, 'drive', 300, seededNumbers(7))];
const jsonLines = (values: readonly object[]): string => values.map((one) => `${JSON.stringify(one)}\n`).join('');
const lessons = file('lessons.jsonl', jsonLines(drawn));
const STRENGTH = ['--prior-claims', '40', '--likelihood-claims', '20', '--stated-on', '2026-04-01'];

describe('evidence check', () => {
  it('tells a sound model from a faulty one', async () => {
    const sound = await run(['check', shippedPath, '--checklist', 'bed-base']);
    expect(sound).toMatchObject({ code: 0, err: '' });
    expect(JSON.parse(sound.out)).toMatchObject({
      sound: true,
      id: 'bed-base',
      explanations: shipped.explanations.length,
    });
    const certain = { ...shipped, explanations: shipped.explanations.map((one) => ({ ...one, prior: 0 })) };
    const faulty = await run(['check', '-'], JSON.stringify(certain));
    expect(faulty.code).toBe(1);
    expect(JSON.parse(faulty.out)).toMatchObject({ sound: false });
    expect(faulty.err).toContain('#/explanations/0/prior  0 is out of range');
    expect((await run(['check', shippedPath, '--checklist', 'lift-chair'])).code).toBe(1);
  });

  it('exits 2 on what is no JSON or no file', async () => {
    expect((await run(['check', '-'], '{')).code).toBe(2);
    expect((await run(['check', join(folder, 'none.json')])).err).toContain('There is no file');
    expect((await run(['check'])).code).toBe(2);
  });
});

describe('evidence learn', () => {
  it('prints a draft that can be used, from a file or standard input alike', async () => {
    const args = ['learn', '--model', 'bed-base', ...STRENGTH, '--lessons'];
    const ran = await run([...args, lessons]);
    expect(ran.code).toBe(0);
    expect(ran.err).toMatch(/^300 lessons read, 300 used\. \d+ numbers changed\.$/);
    const draft = checkEvidenceModel(JSON.parse(ran.out));
    expect(draft.ok && [draft.value.id, draft.value.version]).toEqual(['bed-base', 2]);
    const lines = `\r\n${readFileSync(lessons, 'utf8').replaceAll('\n', '\r\n').trimEnd()}`;
    expect((await run([...args, '-'], lines)).out).toBe(ran.out);
  });

  it('exits 1 where no lesson is of the model', async () => {
    const ran = await run(['learn', '--model', 'lift-chair', ...STRENGTH, '--lessons', lessons]);
    expect(ran).toMatchObject({ code: 1, out: '' });
    expect(ran.err).toContain('300 are of other models');
  });

  it('names the line that cannot be used', async () => {
    const [first] = drawn;
    const twice = jsonLines([first ?? {}, aLesson({ present: ['a'], absent: ['a'], explanations: { drive: 'x' } })]);
    const args = ['learn', '--model', 'bed-base', ...STRENGTH, '--lessons'];
    const ran = await run([...args, file('twice.jsonl', twice)]);
    expect(ran).toMatchObject({ code: 2, out: '' });
    expect(ran.err).toContain('#/absent/0  Line 2: "a" is given as present and as absent');
    expect((await run([...args, file('broken.jsonl', '\n{"format":')])).err).toContain('Line 2: The line is not JSON');
    expect((await run([...args, folder])).err).toContain('is a folder');
    expect((await run([...args, join(folder, 'none.jsonl')])).err).toContain('There is no file');
    const long = file('long.jsonl', `"${'x'.repeat(1_100_000)}"`);
    expect((await run([...args, long])).err).toContain('longer than');
  });

  it.each([
    [['--prior-claims', '0'], '--prior-claims is 0'],
    [['--prior-claims', 'ten'], '--prior-claims is ten'],
    [['--stated-on', '2026-02-30'], '--stated-on is 2026-02-30'],
  ])('takes no %j', async (changed, says) => {
    const [name = '', value = ''] = changed;
    const strength = STRENGTH.map((one, index) => (STRENGTH[index - 1] === name ? value : one));
    const ran = await run(['learn', '--model', 'bed-base', '--lessons', lessons, ...strength]);
    expect(ran.code).toBe(2);
    expect(ran.err).toContain(says);
  });

  it('fills no strength in by itself', async () => {
    const ran = await run(['learn', '--model', 'bed-base', '--lessons', lessons]);
    expect(ran.err).toContain('--prior-claims is missing');
  });
});

describe('evidence report', () => {
  it('scores the shipped models, with abstention only under a policy', async () => {
    const plain = await run(['report', '--lessons', lessons]);
    expect(plain.code).toBe(0);
    const report = JSON.parse(plain.out) as ModelReport;
    expect(report.models.map(({ id }) => id)).toEqual(['bed-base', 'lift-chair', 'standing-desk']);
    expect(report.bar).toBeNull();
    expect(report.all.abstention).toBeNull();
    expect(report.all.cases + report.lessons.notOpened).toBe(300);
    expect(report.all.accuracy?.share).toBeGreaterThan(0.7);
    const policy = ['--policy', 'us-powered-furniture', '--on', '2026-03-01'];
    const barred = JSON.parse((await run(['report', '--lessons', lessons, ...policy])).out) as ModelReport;
    expect(barred.bar?.probability).toBeGreaterThan(0);
    expect(barred.all.abstention?.toAPerson.of).toBe(report.all.cases);
    expect((await run(['report', '--lessons', lessons, '--policy', 'us-powered-furniture'])).code).toBe(2);
  });

  it('sets a challenger against the model on the same claims', async () => {
    const learnt = await run(['learn', '--model', 'bed-base', ...STRENGTH, '--lessons', lessons]);
    const draft = file('draft.json', learnt.out);
    const args = ['report', '--lessons', lessons, '--model', 'bed-base', '--challenger'];
    const comparison = JSON.parse((await run([...args, draft])).out) as ModelComparison;
    expect(comparison.challenger.models).toMatchObject([{ id: 'bed-base', version: 2 }]);
    expect(comparison.champion.all.cases).toBe(comparison.challenger.all.cases);
    expect((await run([...args, 'lift-chair'])).err).toContain('no versions of one evidence model');
  });

  it('exits 1 where no case can be scored', async () => {
    const ran = await run(['report', '--lessons', lessons, '--model', 'lift-chair']);
    expect(ran.code).toBe(1);
    expect(JSON.parse(ran.out)).toMatchObject({ all: { cases: 0, accuracy: null } });
  });
});

describe('evidence order', () => {
  it('needs fewer checks and seconds in all on the samples than the order of the checklist', async () => {
    const { chosen, listed, claims } = orderTotals(await sampleOrders(sampleNames(), silent));
    expect(claims).toBeGreaterThan(10);
    expect(chosen.checks).toBeLessThan(listed.checks);
    expect(chosen.seconds).toBeLessThan(listed.seconds);
    expect(chosen.settled).toBeGreaterThanOrEqual(listed.settled);
  });

  it('takes samples by name, and says which there are', async () => {
    const [name = ''] = sampleNames();
    const ran = await run(['order', name]);
    expect(ran.err).toContain(`| ${name} |`);
    expect(JSON.parse(ran.out)).toMatchObject({ format: 'evidence-order/1', totals: { claims: 1 } });
    const none = await run(['order', 'no-such-sample']);
    expect(none.code).toBe(2);
    expect(none.err).toContain(name);
  });

  // AS_NOTED_WRITE_DOCS=1 writes the table anew; the figures in the text around it are compared as well.
  it('is the source of the figures in docs/evidence.md', async () => {
    const path = join(projectRoot(), 'docs/evidence.md');
    const orders = await sampleOrders(sampleNames(), silent);
    const [from, to] = ['<!-- evidence order -->\n', '\n<!-- end -->'];
    const written = readFileSync(path, 'utf8');
    const [before = '', rest = ''] = written.split(from);
    const after = rest.slice(rest.indexOf(to));
    const fresh = `${before}${from}${figuresOf(orders)}${after}`;
    if (process.env['AS_NOTED_WRITE_DOCS'] === '1') writeFileSync(path, fresh);
    else expect(written).toBe(fresh);
  });
});

function figuresOf(orders: Awaited<ReturnType<typeof sampleOrders>>): string {
  const { claims, chosen, listed } = orderTotals(orders);
  return [
    '',
    `${claims} sample claims: ${chosen.checks} checks and ${chosen.seconds} seconds in the chosen order, ${listed.checks} checks and`,
    `${listed.seconds} seconds in the order of the checklist. The chosen order ends with the explanations that everything in the`,
    `inspection leads to in ${chosen.sameAsAll} of ${claims} claims, the order of the checklist in ${listed.sameAsAll}.`,
    '',
    orderTable(orders),
    '',
  ].join('\n');
}
