import { mkdtemp, rm, utimes, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Readable } from 'node:stream';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { storeCheck, storeQuota } from '../../src/cli/verbs/store.js';
import { Misused, type Io } from '../../src/cli/verb.js';
import { FolderStore } from '../../src/evidence/store/folder-store.js';
import { ObjectServer } from '../support/object-server.js';
import { placeWithInspection, type Place } from '../support/photo-scene.js';
import { freshDatabase } from '../support/test-database.js';

const data = freshDatabase();
const given = { ...process.env };
let state: string;
let store: FolderStore;
let place: Place;

beforeEach(async () => {
  state = await mkdtemp(join(tmpdir(), 'as-noted-check-'));
  store = new FolderStore(join(state, 'originals'));
  await store.open(Temporal.Now.instant());
  place = await placeWithInspection(data());
  process.env['DATABASE_URL'] = data().url;
  process.env['AS_NOTED_STATE'] = state;
});
afterEach(async () => {
  for (const name of Object.keys(process.env)) {
    if (name === 'DATABASE_URL' || name.startsWith('AS_NOTED_')) delete process.env[name];
  }
  Object.assign(process.env, given);
  await rm(state, { recursive: true, force: true });
});

interface Answer {
  readonly code: number;
  readonly out: Record<string, unknown> & { readonly faults: { kind: string; sha256: string; photos: number }[] };
  readonly err: readonly string[];
}

async function run(verb: typeof storeCheck, ...args: string[]): Promise<Answer> {
  const lines: string[] = [];
  const err: string[] = [];
  const io: Io = { out: (line) => lines.push(line), err: (line) => err.push(line), stdin: async () => Buffer.alloc(0) };
  const code = await verb(args, io);
  return { code, out: JSON.parse(lines[0] ?? '{"faults":[]}') as Answer['out'], err };
}

const kinds = ({ out }: Answer) => out.faults.map(({ kind }) => kind).toSorted();

/** An original in the store, and its record unless it is to be an orphan. */
async function keep(text: string, records: readonly Place[] = [place]): Promise<string> {
  const content = Buffer.from(text);
  const { sha256 } = await store.put(Readable.from([content]), { maxBytes: 1000 });
  for (const at of records) await record(sha256, content.length, at);
  return sha256;
}

async function record(sha256: string, bytes: number, at: Place): Promise<void> {
  await data().rows(
    `insert into exhibit (id, tenant_id, visit_id, inspection_id, item, shows, sha256, bytes, media_type, received_at, received_by, state)
     values (gen_random_uuid(), $1, $2, $3, 'carton-front', 'wide', $4, $5, 'image/jpeg', now(), '{}', 'pending')`,
    [at.tenant, at.visit, at.inspection, sha256, bytes],
  );
}

const pathOf = (sha256: string) => join(state, 'originals', sha256.slice(0, 2), sha256.slice(2, 4), sha256);
async function age(sha256: string): Promise<void> {
  await utimes(pathOf(sha256), new Date(0), new Date(0));
}

describe('store check', () => {
  it('finds everything well, however many claims share an original', async () => {
    const second = await placeWithInspection(data());
    await keep('one');
    await keep('two', [place, second]);
    const answer = await run(storeCheck, '--rehash', '--json');
    expect(answer).toMatchObject({
      code: 0,
      out: { format: 'store-check/1', originals: 2, photos: 3, bytes: 6, hashed: 2, whole: true, faults: [] },
    });
  });

  it('finds nothing in an empty house', async () => {
    expect(await run(storeCheck)).toMatchObject({ code: 0, out: { originals: 0, photos: 0 } });
  });

  it('names what is missing, orphaned, of another size, and altered', async () => {
    const [missing, cut, altered] = [await keep('missing'), await keep('cut off'), await keep('altered')];
    const orphan = await keep('orphan', []);
    await keep('well');
    await rm(pathOf(missing));
    await writeFile(pathOf(cut), 'cut');
    await writeFile(pathOf(altered), 'ALTERED');
    const quick = await run(storeCheck);
    expect([quick.code, kinds(quick)]).toEqual([1, ['missing', 'orphan', 'wrong size']]);
    const thorough = await run(storeCheck, '--rehash');
    expect(thorough.code).toBe(1);
    expect(new Map(thorough.out.faults.map(({ sha256, kind }) => [sha256, kind]))).toEqual(
      new Map([
        [missing, 'missing'],
        [cut, 'wrong size'],
        [altered, 'wrong bytes'],
        [orphan, 'orphan'],
      ]),
    );
    expect(
      thorough.err.some((line) => line.startsWith(`wrong bytes: ${altered}: The original of 1 photo was altered`)),
    ).toBe(true);
  });

  it('removes orphans of more than a day, and nothing that any photo of any house refers to', async () => {
    const second = await placeWithInspection(data());
    const [old, fresh, shared] = [
      await keep('old', []),
      await keep('fresh', []),
      await keep('shared', [place, second]),
    ];
    await age(old);
    await age(shared);
    const answer = await run(storeCheck, '--remove-orphans');
    expect(answer).toMatchObject({ code: 1, out: { removed: 1, counts: { orphan: 2 } } });
    expect([await store.size(old), await store.size(fresh), await store.size(shared)]).toEqual([undefined, 5, 6]);
    await data().rows('delete from exhibit where tenant_id = $1', [place.tenant]);
    await run(storeCheck, '--remove-orphans');
    expect(await store.size(shared)).toBe(6);
    await data().rows('delete from exhibit where tenant_id = $1', [second.tenant]);
    await age(fresh);
    expect((await run(storeCheck, '--remove-orphans')).code).toBe(0);
    expect([await store.size(shared), await store.size(fresh)]).toEqual([undefined, undefined]);
  });

  it('looks into an object store as well, and says when it cannot', async () => {
    const server = new ObjectServer();
    await server.start();
    try {
      const sha256 = await keep('one');
      const settings = {
        AS_NOTED_STORE: 's3',
        AS_NOTED_S3_ENDPOINT: server.settings.endpoint,
        AS_NOTED_S3_BUCKET: 'photos',
        AS_NOTED_S3_REGION: server.settings.region,
        AS_NOTED_S3_KEY_ID: server.settings.keyId,
        AS_NOTED_S3_SECRET: server.settings.secret,
      };
      Object.assign(process.env, settings);
      expect(kinds(await run(storeCheck))).toEqual(['missing']);
      server.objects.set(sha256, { content: Buffer.from('eno'), changedAt: new Date().toISOString() });
      expect(kinds(await run(storeCheck))).toEqual([]);
      expect(kinds(await run(storeCheck, '--rehash'))).toEqual(['wrong bytes']);
      process.env['AS_NOTED_S3_SECRET'] = 'wrong';
      const refused = await run(storeCheck);
      expect([refused.code, refused.err.at(-1)]).toEqual([2, expect.stringMatching(/refuses the key THEKEY/)]);
    } finally {
      await server.stop();
    }
  });

  it('refuses options that it does not know', async () => {
    await expect(run(storeCheck, '--fast')).rejects.toThrow(Misused);
    await expect(run(storeQuota, '--photos', '5')).rejects.toThrow(/--tenant/);
    await expect(run(storeQuota, '--tenant', place.tenant, '--gib', 'many')).rejects.toThrow(/whole number/);
  });
});

describe('store quota', () => {
  it('says what each house keeps and gives one house limits of its own', async () => {
    await keep('one');
    const houses = async (...args: string[]) =>
      (await run(storeQuota, ...args)).out['houses'] as Record<string, unknown>[];
    expect(await houses('--tenant', place.tenant, '--photos', '10', '--gib', '2')).toMatchObject([
      { tenant: place.tenant, photos: 1, bytes: 3, maxPhotos: 10, maxBytes: 2_147_483_648 },
    ]);
    expect(await houses('--tenant', place.tenant, '--photos', 'default')).toMatchObject([
      { maxPhotos: 1_000_000, maxBytes: 2_147_483_648 },
    ]);
    expect(await houses()).toHaveLength(1);
  });
});
