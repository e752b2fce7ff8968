import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { documentWith, tableDecision } from '../../tests/support/table-policy.js';
import type { PolicyDocument } from '../policies/policies.contract.js';
import { runCommandLine } from './command-line.js';
import { VERBS } from './verbs.js';

const folder = mkdtempSync(join(tmpdir(), 'as-noted-policy-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function file(name: string, content: unknown): string {
  const path = join(folder, name);
  writeFileSync(path, typeof content === 'string' ? content : JSON.stringify(content));
  return path;
}

async function run(...args: readonly string[]): Promise<{ code: number; out: string; err: string }> {
  const out: string[] = [];
  const err: string[] = [];
  const code = await runCommandLine(['policy', ...args], VERBS, {
    out: (line) => void out.push(line),
    err: (line) => void err.push(line),
    stdin: () => Promise.resolve(new TextEncoder().encode('{"days": 8}')),
  });
  return { code, out: out.join('\n'), err: err.join('\n') };
}

const facts = { days: { type: 'integer', min: 0, max: 100, ask: 'How many days?' } } as const;
const documentOf = (high: string, more: Partial<PolicyDocument> = {}): PolicyDocument =>
  documentWith({
    facts,
    decisions: [
      tableDecision(
        'told',
        ['days'],
        [
          ['IN', { days: '<= 7' }, 'in time'],
          ['LATE', { days: high }, 'late'],
        ],
      ),
    ],
    examples: [{ id: 'seventh day', on: '2026-03-01', given: { days: 7 }, expect: { told: 'in time' } }],
    ...more,
  });
const clean = file('clean.json', documentOf('> 7'));
const holed = file('holed.json', documentOf('> 8'));
const doubled = file(
  'doubled.json',
  documentOf('>= 7', {
    decisions: [
      { ...documentOf('>= 7').decisions[0]!, table: { ...documentOf('>= 7').decisions[0]!.table!, hit: 'unique' } },
    ],
    examples: [],
  }),
);
const broken = file('broken.json', documentOf('> sevn'));

describe('policy check, gaps and overlaps', () => {
  it('exit 0 where there is nothing to look at', async () => {
    expect(await run('check', clean)).toMatchObject({ code: 0, out: '' });
    expect(await run('gaps', clean)).toMatchObject({ code: 0, out: '' });
  });

  it('exit 1 with a line for each finding: place, sentence, example', async () => {
    const ran = await run('check', holed, clean);
    expect(ran.code).toBe(1);
    expect(ran.out).toBe(`${holed}:told  warning: No rule answers when days is 8. Example: days 8.`);
    const overlaps = await run('overlaps', doubled);
    expect(overlaps.code).toBe(1);
    expect(overlaps.out).toContain(`${doubled}:told/IN  error: IN and LATE both hold`);
  });

  it('print one JSON object a policy', async () => {
    const ran = await run('gaps', holed, '--json');
    const json = JSON.parse(ran.out) as { readonly findings: readonly unknown[] };
    expect(json).toMatchObject({
      format: 'policy-findings/1',
      file: holed,
      findings: [{ kind: 'gap', decision: 'told', region: [{ days: '8' }], ready: { given: { days: 8 } } }],
    });
  });

  it('count past claims in each finding', async () => {
    const claims = [8, 8, 9].map((days) => JSON.stringify({ on: '2026-03-01', facts: { days } })).join('\n');
    const ran = await run('gaps', holed, '--claims', file('claims.jsonl', claims));
    expect(ran.out).toContain('2 of the claims fall here.');
    expect((await run('gaps', holed, '--claims', file('bad.jsonl', '{"days":1}'))).code).toBe(2);
  });

  it('exit 2 where a policy does not compile, with the place of each fault, and still run the others', async () => {
    const ran = await run('check', broken, holed);
    expect(ran.code).toBe(2);
    expect(ran.err).toMatch(/broken\.json:told\/LATE\/days:2-6 {2}/);
    expect(ran.out).toContain('holed.json:told');
    expect((await run('check', join(folder, 'none.json'))).code).toBe(2);
    expect((await run('check')).err).toContain('Name at least one policy');
    expect((await run('check', '--colour', clean)).code).toBe(2);
  });
});

describe('policy test, coverage and mutate', () => {
  it('run the examples', async () => {
    expect(await run('test', clean)).toMatchObject({ code: 0, out: `${clean}: 1 of 1 examples pass.` });
    const wrong = file(
      'wrong.json',
      documentOf('> 7', { examples: [{ id: 'e', on: '2026-03-01', given: { days: 9 }, expect: { told: 'in time' } }] }),
    );
    const ran = await run('test', wrong);
    expect(ran.code).toBe(1);
    expect(ran.out).toContain('wrong.json:examples/e  told should be "in time" and is "late".');
    expect((await run('mutate', wrong)).code).toBe(1);
  });

  it('say what the examples do not try, and give examples for it that fill the policy', async () => {
    const ran = await run('coverage', clean);
    expect(ran.code).toBe(1);
    expect(ran.out).toContain(`${clean}:told/LATE  No example makes it decide.`);
    expect(ran.out).toContain(`${clean}:told/days  No example lies directly above the end between 7 and 8.`);
    const more = JSON.parse((await run('coverage', clean, '--candidates')).out) as PolicyDocument['examples'];
    const filled = file('filled.json', documentOf('> 7', { examples: [...documentOf('> 7').examples, ...more] }));
    expect(await run('coverage', filled)).toMatchObject({ code: 0 });
    expect(await run('test', filled)).toMatchObject({ code: 0 });
    expect(await run('mutate', filled)).toMatchObject({ code: 0 });
    expect((await run('mutate', clean)).code).toBe(1);
  });
});

describe('policy eval, why and why-not', () => {
  it('say what a policy says, with day and facts', async () => {
    const ran = await run('eval', clean, '--facts', '-', '--on', '2026-03-01');
    expect(ran.code).toBe(0);
    expect(JSON.parse(ran.out)).toMatchObject({ outcomes: { told: 'late' }, fired: [{ rule: 'LATE' }] });
    expect((await run('eval', clean, '--facts', file('none-known.json', {}), '--on', '2026-03-01')).code).toBe(1);
    expect((await run('eval', holed, '--facts', '-', '--on', '2026-03-01')).code).toBe(1);
    expect((await run('eval', clean, '--facts', file('odd.json', { colour: 'red' }), '--on', '2026-03-01')).code).toBe(
      2,
    );
    expect((await run('eval', clean, '--facts', '-')).err).toContain('Say on which day');
  });

  it('say why and why not', async () => {
    const why = JSON.parse((await run('why', clean, '--facts', '-', '--on', '2026-03-01')).out) as unknown;
    expect(why).toMatchObject({
      trace: [{ decision: 'told', fired: [{ rule: 'LATE', cells: [{ cell: '> 7', value: 8 }] }] }],
    });
    const ran = await run('why-not', clean, '--facts', '-', '--on', '2026-03-01', '--outcome', 'told=in time');
    expect(JSON.parse(ran.out)).toMatchObject({
      is: 'late',
      rules: [{ rule: 'IN' }],
      nearest: { changes: [{ fact: 'days', becomes: 7 }] },
    });
    expect((await run('why-not', clean, '--facts', '-', '--on', '2026-03-01', '--outcome', 'told=blue')).code).toBe(2);
  });
});

describe('policy diff', () => {
  it('says for which claims two policies differ', async () => {
    const ran = await run('diff', clean, holed);
    expect(ran.code).toBe(1);
    expect(ran.out).toBe('told: when days is 8: was told late (LATE), becomes no rule. Example: days 8.');
    expect(await run('diff', clean, clean)).toMatchObject({ code: 0, out: 'The two policies are the same.' });
    expect((await run('diff', clean)).code).toBe(2);
  });
});

describe('policy fmt', () => {
  it('prints, checks and writes the one form, which says the same', async () => {
    const path = file('loose.json', documentOf('> 7'));
    expect((await run('fmt', '--check', path)).code).toBe(1);
    const printed = (await run('fmt', path)).out;
    expect((await run('fmt', '--write', path)).code).toBe(0);
    expect(readFileSync(path, 'utf8')).toBe(`${printed}\n`);
    expect(await run('fmt', '--check', path)).toMatchObject({ code: 0, out: '' });
    expect(JSON.parse(printed)).toEqual(documentOf('> 7'));
  });

  it('leaves the shipped policies as they are', async () => {
    const shipped = ['us', 'eu', 'uk'].map((place) => `${place}-powered-furniture/1`);
    for (const id of shipped) {
      const path = `src/policies/shipped/${id.replace('/', '.')}.json`;
      expect((await run('fmt', path)).out).toBe(readFileSync(path, 'utf8').trimEnd());
    }
  });
});
