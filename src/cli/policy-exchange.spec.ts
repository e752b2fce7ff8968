import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { contentHash } from '../kernel/canonical-json.js';
import { shippedPolicy } from '../../tests/support/shipped-policy.js';
import { runCommandLine } from './command-line.js';
import { VERBS } from './verbs.js';

const folder = mkdtempSync(join(tmpdir(), 'as-noted-exchange-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

async function run(...args: readonly string[]): Promise<{ code: number; out: string; err: string }> {
  const out: string[] = [];
  const err: string[] = [];
  const code = await runCommandLine(args, VERBS, {
    out: (line) => void out.push(line),
    err: (line) => void err.push(line),
    stdin: () => Promise.resolve(new Uint8Array()),
  });
  return { code, out: out.join('\n'), err: err.join('\n') };
}

describe('policy export and import', () => {
  it('carry a shipped policy out and home, and it is the same policy', async () => {
    const [file, home] = [join(folder, 'uk.dmn'), join(folder, 'uk.json')];
    const out = await run('policy', 'export', 'uk-powered-furniture/1', '--on', '2026-03-01', '--to', file);
    expect(out).toMatchObject({ code: 0, out: '' });
    expect(out.err).toContain('other programs see only its value on 2026-03-01');
    expect(await run('policy', 'import', file, '--to', home)).toMatchObject({ code: 0, out: '' });
    const read: unknown = JSON.parse(readFileSync(home, 'utf8'));
    expect(contentHash(read)).toBe(shippedPolicy('uk').hash);
  });

  it.each([
    ['csv', /^policy,us-powered-furniture,/],
    ['md', /^# .+\n\nus-powered-furniture/],
    ['json', /^\{\n {2}"format": "policy\/1"/],
  ])('print %s', async (format, start) => {
    const { code, out } = await run('policy', 'export', 'us-powered-furniture/1', '--as', format);
    expect([code, start.test(out)]).toEqual([0, true]);
  });

  it('refuse what they cannot do, with the place and what to do', async () => {
    const file = join(folder, 'bad.dmn');
    writeFileSync(
      file,
      '<?xml version="1.0"?>\n<definitions xmlns="https://www.omg.org/spec/DMN/20191111/MODEL/" name="x">\n  <import/>\n</definitions>',
    );
    const refused = await run('policy', 'import', file);
    expect(refused.code).toBe(2);
    expect(refused.err).toContain(`${file}:3:3 "import" is not taken over`);
    expect(await run('policy', 'export', 'uk-powered-furniture/1', '--as', 'xls')).toMatchObject({ code: 2 });
    expect((await run('policy', 'export', 'uk-powered-furniture/1', '--as', 'xls')).err).toContain(
      'dmn, csv, md, json',
    );
    expect(await run('policy', 'import', join(folder, 'nowhere.dmn'))).toMatchObject({ code: 2 });
    expect((await run('policy', 'export', 'uk-powered-furniture/1', '--on', 'today')).err).toContain('a date like');
  });
});
