import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { aClaimFile, claimJsonWith } from '../../tests/support/claim-file.js';
import type { Assessment } from '../adjudication/adjudication.contract.js';
import { projectRoot } from '../platform/config/project-root.js';
import { runCommandLine } from './command-line.js';
import type { Verb } from './verb.js';
import { VERBS } from './verbs.js';

const folder = mkdtempSync(join(tmpdir(), 'as-noted-cli-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function file(name: string, content: string | Uint8Array): string {
  const path = join(folder, name);
  writeFileSync(path, content);
  return path;
}

interface Ran {
  readonly code: number;
  readonly out: string;
  readonly err: string;
}

async function run(args: readonly string[], stdin = '', verbs: Readonly<Record<string, Verb>> = VERBS): Promise<Ran> {
  const out: string[] = [];
  const err: string[] = [];
  const code = await runCommandLine(args, verbs, {
    out: (line) => void out.push(line),
    err: (line) => void err.push(line),
    stdin: () => Promise.resolve(new TextEncoder().encode(stdin)),
  });
  return { code, out: out.join('\n'), err: err.join('\n') };
}

const claimPath = file('claim.json', JSON.stringify(aClaimFile()));
const lastLine = (ran: Ran): { readonly faults: readonly { readonly pointer: string; readonly detail: string }[] } =>
  JSON.parse(ran.err.split('\n').at(-1) ?? '') as ReturnType<typeof lastLine>;

describe('assess', () => {
  it('prints one JSON object and exits 0 when the service proposes', async () => {
    const ran = await run(['assess', claimPath]);
    expect(ran).toMatchObject({ code: 0, err: '' });
    const assessment = JSON.parse(ran.out) as Assessment;
    expect(assessment).toMatchObject({ format: 'assessment/1', verdict: 'proposed' });
    // By hand: an exception noted on receipt of goods tendered clean is a prima facie case against the carrier (49 U.S.C. 14706).
    expect(assessment.responsibility.map(({ shares }) => shares)).toEqual([
      [{ party: 'carrier', bp: 10_000 }],
      [{ party: 'carrier', bp: 10_000 }],
    ]);
    // By hand: the catalogue's frame spare RO-200 at 82.00 and its freight of 32.00.
    expect(assessment.remedy.costTotalMinor).toBe(11_400);
  });

  it('exits 1 when a person is needed', async () => {
    const path = file('weak.json', JSON.stringify(aClaimFile({ photos: [] })));
    const ran = await run(['assess', path]);
    expect(ran.code).toBe(1);
    expect(JSON.parse(ran.out)).toMatchObject({ verdict: 'to a person' });
  });

  it('reads standard input for -', async () => {
    expect(await run(['assess', '-'], JSON.stringify(aClaimFile()))).toMatchObject({ code: 0 });
  });

  it('gives the same bytes every time', async () => {
    expect((await run(['assess', claimPath])).out).toBe((await run(['assess', claimPath])).out);
  });

  it('judges clocks as of the instant given', async () => {
    const clock = async (...args: string[]) => {
      const { clocks } = JSON.parse((await run(['assess', claimPath, ...args])).out) as Assessment;
      return clocks.find(({ id }) => id === 'CLK-US-FILING')?.state;
    };
    // 49 U.S.C. 14706(e)(1): nine months from 4 March 2026 end with 4 December.
    expect(await clock('--as-of', '2026-12-04T23:59:59-05:00')).toBe('running');
    expect(await clock('--as-of=2026-12-05T00:00:00-05:00')).toBe('missed');
  });

  it('takes documents by id and by file', async () => {
    const root = projectRoot();
    const args = [
      '--policy',
      'us-powered-furniture/1',
      '--checklist',
      join(root, 'src/inspections/shipped/standing-desk.1.json'),
      '--evidence-model',
      'standing-desk',
      '--catalogue',
      join(root, 'sample-claims/catalogue.json'),
    ];
    expect((await run(['assess', claimPath, ...args])).out).toBe((await run(['assess', claimPath])).out);
  });

  it('takes the model from inside the claim file', async () => {
    const { models } = JSON.parse(readFileSync(join(projectRoot(), 'sample-claims/catalogue.json'), 'utf8')) as {
      readonly models: readonly { readonly sku: string; readonly unitCostMinor: number }[];
    };
    const model = models.find(({ sku }) => sku === aClaimFile().unit.sku);
    const path = file('inline.json', JSON.stringify({ ...aClaimFile(), model }));
    expect((await run(['assess', path])).out).toBe((await run(['assess', claimPath])).out);
    const broken = file(
      'inline-broken.json',
      JSON.stringify({ ...aClaimFile(), model: { ...model, serialPattern: '(a+)+' } }),
    );
    expect(lastLine(await run(['assess', broken])).faults[0]?.pointer).toBe('#/model/serialPattern');
  });

  it('takes an own list of holidays, and refuses one in another form', async () => {
    // A year without any holiday: the fifth business day after Thursday 2 July 2026 is then the 9th, else the 10th (3 July is observed).
    const claim = aClaimFile({
      delivery: { ...aClaimFile().delivery, receipt: 'clean' },
      events: { delivered: '2026-07-02T10:00:00-04:00' },
      asOf: '2026-07-03T12:00:00Z',
    });
    const path = file('july.json', JSON.stringify(claim));
    const days = async (...args: string[]) => {
      const { clocks } = JSON.parse((await run(['assess', path, ...args])).out) as Assessment;
      return clocks.find(({ id }) => id === 'CLK-US-CONCEALED')?.lastDay;
    };
    const own = file('none.json', JSON.stringify({ format: 'holidays/1', years: { '2026': [] } }));
    expect(await days('--holidays', own)).toBe('2026-07-09');
    expect(await days()).toBe('2026-07-10');
    const wrong = file('wrong.json', JSON.stringify({ format: 'holidays/1', years: { '2026': ['2025-01-01'] } }));
    expect((await run(['assess', path, '--holidays', wrong])).code).toBe(2);
  });
});

describe('bad input', () => {
  it.each([
    ['broken JSON', '{"format": "claim/1",', 'is not JSON'],
    ['nothing', '', 'is empty'],
    ['bytes that are not UTF-8', new Uint8Array([0x7b, 0xff, 0xfe, 0x7d]), 'not text in UTF-8'],
    ['more than a mebibyte', ' '.repeat(1_048_577), 'larger than 1048576 bytes'],
    ['a list', '[]', 'must be an object'],
    ['an endless nest of lists', '['.repeat(500_000) + ']'.repeat(500_000), 'must be an object'],
  ])('%s is exit 2, with sentences, a line of JSON and no stack', async (name, content, says) => {
    const ran = await run(['assess', file(`${name.replaceAll(' ', '-')}.json`, content)]);
    expect(ran.code).toBe(2);
    expect(ran.out).toBe('');
    expect(ran.err).toContain(says);
    expect(ran.err).not.toMatch(/\n\s+at /);
    expect(lastLine(ran).faults[0]?.pointer).toBe('#');
  });

  it('names every fault with its pointer', async () => {
    const json = { ...(claimJsonWith('order.currency', 'ZZZ') as object), ground: 'fire', colour: 'red' };
    const ran = await run(['assess', file('faults.json', JSON.stringify(json))]);
    expect(ran.code).toBe(2);
    expect(lastLine(ran).faults.map(({ pointer }) => pointer)).toEqual(['#/colour', '#/ground', '#/order/currency']);
    expect(ran.err).toContain('#/ground  "ground" must be one of: damage');
  });

  it.each([
    ['a serial of another model', claimJsonWith('unit.serial', 'XX1'), '#/unit/serial'],
    [
      'an answer to an item that is not asked',
      claimJsonWith('inspection.answers.0', { item: 'thread-before', value: 'yes' }),
      '#/inspection/answers/0/item',
    ],
    ['a currency that is not the model’s', claimJsonWith('order.currency', 'EUR'), '#/order/currency'],
    ['a model that is not in the catalogue', claimJsonWith('unit.sku', 'NO-SUCH'), '#/unit/sku'],
  ])('%s has its place named', async (_says, json, pointer) => {
    const ran = await run(['assess', file('place.json', JSON.stringify(json))]);
    expect(ran.code).toBe(2);
    expect(lastLine(ran).faults.map((fault) => fault.pointer)).toContain(pointer);
  });

  it('names a policy’s faults by decision, rule and column', async () => {
    const shipped = readFileSync(join(projectRoot(), 'src/policies/shipped/us-powered-furniture.1.json'), 'utf8');
    const broken = file('policy.json', shipped.replace('"<= notice business days"', '"<= notise days"'));
    const ran = await run(['assess', claimPath, '--policy', broken]);
    expect(ran.code).toBe(2);
    expect(ran.err).toContain('notice/NOT-US-40/business days');
  });

  it.each([
    ['a file that is not there', ['assess', '/no/such/claim.json'], 'There is no file'],
    ['a folder', ['assess', folder], 'is a folder'],
    ['a policy that is not there', ['assess', claimPath, '--policy', 'no-such-policy'], 'There are: '],
    ['an instant without offset', ['assess', claimPath, '--as-of', '2026-03-06'], '#/asOf'],
  ])('%s is exit 2', async (_says, args, says) => {
    const ran = await run(args);
    expect(ran.code).toBe(2);
    expect(ran.err).toContain(says);
  });
});

describe('the command line', () => {
  it.each([
    ['no verb', []],
    ['an unknown verb', ['asses', claimPath]],
    ['no claim file', ['assess']],
    ['two claim files', ['assess', claimPath, claimPath]],
    ['an unknown option', ['assess', claimPath, '--polcy', 'x']],
    ['an option without its value', ['assess', claimPath, '--policy']],
    ['an option twice', ['assess', claimPath, '--policy', 'a', '--policy=b']],
    ['two inputs from one standard input', ['assess', '-', '--policy', '-']],
    ['an argument too many', ['version', 'now']],
    ['help for an unknown verb', ['help', 'dance']],
  ])('answers %s with the usage and exit 2', async (_says, args) => {
    const ran = await run(args);
    expect(ran.code).toBe(2);
    expect(ran.out).toBe('');
    expect(ran.err).toContain('Usage: npm run -s as-noted --');
  });

  it.each([[['help']], [['--help']]])('lists every verb for %j', async (args) => {
    const ran = await run(args);
    expect(ran.code).toBe(0);
    for (const name of Object.keys(VERBS)) expect(ran.out).toContain(`  ${name} `);
  });

  it.each([[['help', 'db', 'down']], [['db', 'down', '--help']], [['db', 'down', '-h']]])(
    'explains a verb for %j',
    async (args) => {
      expect(await run(args)).toMatchObject({ code: 0, out: expect.stringContaining('--force') as string });
    },
  );

  it('prints the schema and the version', async () => {
    expect(JSON.parse((await run(['schema'])).out)).toMatchObject({ title: 'Claim file' });
    expect((await run(['version'])).out).toMatch(/^as-noted \d+\.\d+\.\d+$/);
  });

  it('keeps exit code 3 and the trace for faults of the program itself', async () => {
    const broken: Verb = {
      summary: '',
      usage: 'broken',
      run: () => Promise.reject(new TypeError('x is not a function')),
    };
    const ran = await run(['broken'], '', { broken });
    expect(ran.code).toBe(3);
    expect(ran.err).toContain('please report this');
    expect(ran.err).toMatch(/\n\s+at /);
  });

  it('loads neither the web framework nor the database to assess a claim', () => {
    const seen = new Set<string>();
    const follow = (path: string): void => {
      if (seen.has(path)) return;
      seen.add(path);
      const text = readFileSync(path, 'utf8');
      for (const [, specifier = ''] of text.matchAll(/^(?:import|export)\s+(?!type\b)[^;]*?from\s+'([^']+)'/gms)) {
        expect(`${path}: ${specifier}`).not.toMatch(/: (@nestjs|typeorm|fastify|pg$|pg-boss|sharp|date-holidays)/);
        if (specifier.startsWith('.')) follow(join(path, '..', specifier.replace(/\.js$/, '.ts')));
      }
    };
    follow(join(projectRoot(), 'src/cli/as-noted.ts'));
    follow(join(projectRoot(), 'src/cli/verbs/assess.ts'));
    expect(seen.size).toBeGreaterThan(20);
  });
});
