import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { aClaimFile } from '../../tests/support/claim-file.js';
import type { Why } from '../adjudication/adjudication.contract.js';
import { runCommandLine } from './command-line.js';
import { VERBS } from './verbs.js';

const folder = mkdtempSync(join(tmpdir(), 'as-noted-why-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const claimPath = join(folder, 'claim.json');
writeFileSync(claimPath, JSON.stringify(aClaimFile()));

async function run(args: readonly string[], stdin = ''): Promise<{ code: number; out: string; err: string }> {
  const out: string[] = [];
  const err: string[] = [];
  const code = await runCommandLine(args, VERBS, {
    out: (line) => void out.push(line),
    err: (line) => void err.push(line),
    stdin: () => Promise.resolve(new TextEncoder().encode(stdin)),
  });
  return { code, out: out.join('\n'), err: err.join('\n') };
}

describe('why', () => {
  it('prints the value with its chain of reasons, down to the rule and its law', async () => {
    const ran = await run(['why', claimPath, '/responsibility/0/shares/0']);
    expect(ran).toMatchObject({ code: 0, err: '' });
    const { value, chain } = JSON.parse(ran.out) as Why;
    expect(value).toEqual({ party: 'carrier', bp: 10_000 });
    // An exception noted on receipt of goods tendered clean: 49 U.S.C. 14706.
    const named = chain.find(({ rule }) => rule?.startsWith('responsibility/') === true);
    expect(named?.source).toContain('14706');
    expect(named?.cells?.map(({ column }) => column)).toContain('noted');
  });

  it('takes the claim from standard input and other documents by option', async () => {
    const args = ['why', '-', '/secondPersonAboveMinor', '--policy', 'us-powered-furniture/1'];
    const ran = await run(args, JSON.stringify(aClaimFile()));
    expect(JSON.parse(ran.out)).toMatchObject({ format: 'why/1', pointer: '/secondPersonAboveMinor', value: 50_000 });
  });

  it('exits 2 where the assessment has nothing at the pointer, and says where to look', async () => {
    const ran = await run(['why', claimPath, '/remedy/customerLines/99']);
    expect(ran).toMatchObject({ code: 2, out: '' });
    expect(ran.err).toContain('has nothing at /remedy/customerLines/99; look at what assess prints for it');
  });

  it.each([[['why', claimPath]], [['why']], [['why', claimPath, '/verdict', 'more']]])(
    'exits 2 for %j',
    async (args) => {
      const ran = await run(args);
      expect(ran).toMatchObject({ code: 2, out: '' });
      expect(ran.err).toContain('Name one claim file and one place in its assessment');
    },
  );

  it('exits 2 for a claim file that is at fault, with its pointers', async () => {
    const ran = await run(['why', '-', '/verdict'], JSON.stringify({ ...aClaimFile(), zone: 'Mars/Base' }));
    expect(ran.code).toBe(2);
    expect(ran.err).toContain('#/zone');
  });
});
