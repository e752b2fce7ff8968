import { cpSync, existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { projectRoot } from '../../platform/config/project-root.js';
import { runCommandLine } from '../command-line.js';
import { VERBS } from '../verbs.js';

const folder = mkdtempSync(join(tmpdir(), 'as-noted-recovery-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const sample = (name: string): string => join(projectRoot(), 'sample-claims', name);
const CLAIM = join(sample('bed-rail-bent-noted'), 'claim.json');

interface Ran {
  readonly code: number;
  readonly out: string;
  readonly err: string;
}

async function run(...args: readonly string[]): Promise<Ran> {
  const out: string[] = [];
  const err: string[] = [];
  const io = {
    out: (line: string) => void out.push(line),
    err: (line: string) => void err.push(line),
    stdin: () => Promise.resolve(new Uint8Array()),
  };
  const code = await runCommandLine(['recovery', 'packet', ...args], VERBS, io);
  return { code, out: out.join('\n'), err: err.join('\n') };
}

describe('recovery packet', () => {
  it('makes the PDF for the party of whom most is demanded, with the photos beside the claim file', async () => {
    const to = join(folder, 'a.pdf');
    const ran = await run(CLAIM, '--to', to);
    expect(ran).toMatchObject({ code: 0, err: '' });
    expect(JSON.parse(ran.out)).toMatchObject({
      party: 'carrier',
      partyName: 'Plover Freight Lines',
      // By hand, from the catalogue: the head half of the frame at 118.00, its freight of 54.00, and a visit at 119.00.
      total: '291.00 USD',
      standing: 'complete claim',
      photosNotShown: [],
    });
    expect(readFileSync(to).subarray(0, 5).toString('latin1')).toBe('%PDF-');
    const again = join(folder, 'b.pdf');
    await run(CLAIM, '--to', again);
    expect(readFileSync(again).equals(readFileSync(to))).toBe(true);
  });

  it('makes the same as JSON', async () => {
    const to = join(folder, 'a.json');
    expect(await run(CLAIM, '--to', to, '--claimant', 'Pellow Claims')).toMatchObject({ code: 0 });
    const content = JSON.parse(readFileSync(to, 'utf8')) as { claimant: string; format: string; caution: string };
    expect(content).toMatchObject({ format: 'packet/1', claimant: 'Pellow Claims' });
    expect(content.caution).toMatch(/^Not legal advice/);
  });

  it('names the photos that are missing or are not the ones on record', async () => {
    const copy = join(folder, 'copy');
    cpSync(sample('bed-rail-bent-noted'), copy, { recursive: true });
    const claim = JSON.parse(readFileSync(join(copy, 'claim.json'), 'utf8')) as {
      photos: { id: string; file: string }[];
    };
    const [first, second] = claim.photos;
    rmSync(join(copy, first?.file ?? ''));
    writeFileSync(join(copy, second?.file ?? ''), 'altered');
    const ran = await run(join(copy, 'claim.json'), '--to', join(folder, 'c.pdf'));
    expect((JSON.parse(ran.out) as { photosNotShown: unknown }).photosNotShown).toEqual([
      { id: first?.id, because: 'the file is not beside the claim file' },
      { id: second?.id, because: 'the file is not the one whose hash is on record' },
    ]);
  });

  it('exits 1 where nothing is to be demanded, or the time for a claim is over', async () => {
    const to = join(folder, 'd.pdf');
    const none = await run(CLAIM, '--to', to, '--party', 'maker');
    expect(none).toMatchObject({ code: 1, out: '' });
    expect(existsSync(to)).toBe(false);
    // Nine months from the delivery on 15 September 2026 end with 15 June 2027 (49 U.S.C. 14706(e)(1)).
    const late = await run(CLAIM, '--to', to, '--as-of', '2027-06-16T12:00:00Z');
    expect(late.code).toBe(1);
    expect(JSON.parse(late.out)).toMatchObject({ standing: 'not a claim' });
  });

  it('exits 2 with a sentence when it is called wrongly', async () => {
    const to = join(folder, 'e.pdf');
    const wrong: readonly (readonly [readonly string[], string])[] = [
      [['--to', to], 'Name one claim file'],
      [[CLAIM], '--to FILE.pdf'],
      [[CLAIM, '--to', 'packet.txt'], '--to FILE.pdf'],
      [['-', '--to', to], 'standard input'],
      [[CLAIM, '--to', to, '--party', 'customer'], '--party is one of'],
      [[CLAIM, '--to', join(folder, 'no', 'such', 'folder.pdf')], 'cannot be written'],
      [[join(folder, 'none.json'), '--to', to], 'There is no file'],
    ];
    for (const [args, words] of wrong) {
      const ran = await run(...args);
      expect([args, ran.code, ran.out]).toEqual([args, 2, '']);
      expect(ran.err).toContain(words);
    }
  });
});
