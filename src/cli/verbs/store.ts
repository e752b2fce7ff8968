import type pg from 'pg';
import { originalsOf } from '../../evidence/store/photo-folders.js';
import { checkStore, type Recorded, type StoreFault } from '../../evidence/store/store-check.js';
import { StoreUnavailable } from '../../evidence/store/original-store.js';
import { parseUuid } from '../../kernel/ids.js';
import { loadConfig, type Config } from '../../platform/config/config.js';
import { withClient } from '../../platform/postgres/connection.js';
import { resolveDatabase } from '../../platform/postgres/resolve-database.js';
import { DatabaseUnavailable } from '../../platform/postgres/unavailable.js';
import { readOptions } from '../command-options.js';
import { EXIT, Misused, type Io } from '../verb.js';

/** Originals read from the database at a time. */
const AT_ONCE = 5000;
/** Faults that are printed; beyond them only counts. */
const MOST_PRINTED = 1000;
/** An orphan may belong to a photo that is on its way; after a day without a put it does not. */
const ORPHAN_HOURS = 24;

/** `store check`: compares the store of originals with the database, both ways. */
export async function storeCheck(args: readonly string[], io: Io): Promise<number> {
  const wanted = checkOptions(args);
  const config = loadConfig(process.env);
  return onDatabase(config, io, async (client) => {
    await demandFullSight(client);
    const store = originalsOf(config);
    await store.open(Temporal.Now.instant());
    const faults: StoreFault[] = [];
    const counts: Record<string, number> = {};
    const note = (fault: StoreFault) => {
      counts[fault.kind] = (counts[fault.kind] ?? 0) + 1;
      if (fault.kind === 'orphan' || faults.length < MOST_PRINTED) faults.push(fault);
    };
    const checked = await checkStore(store, recordedIn(client), wanted.rehash, note);
    let removed = 0;
    if (wanted.removeOrphans) {
      const before = Temporal.Now.instant().subtract({ hours: ORPHAN_HOURS });
      for (const { sha256, putAt } of faults.filter(({ kind }) => kind === 'orphan')) {
        if (!putAt || Temporal.Instant.compare(putAt, before) >= 0) continue;
        // A photo of the same bytes may have come while the check ran.
        if (await isReferredTo(client, sha256)) continue;
        await store.delete(sha256, before);
        removed += 1;
      }
    }
    const printed = faults
      .slice(0, MOST_PRINTED)
      .map(({ kind, sha256, photos, says }) => ({ kind, sha256, photos, says }));
    const found = Object.values(counts).reduce((sum, count) => sum + count, 0);
    const whole = found === 0;
    io.out(JSON.stringify({ format: 'store-check/1', ...checked, whole, counts, removed, faults: printed }));
    for (const { kind, sha256, says } of printed) io.err(`${kind}: ${sha256}: ${says}`);
    if (removed > 0) io.err(`Removed ${removed} originals that no photo refers to.`);
    return found === removed ? EXIT.ok : EXIT.findings;
  });
}

/** `store quota`: what each house keeps, and gives a house limits of its own. */
export async function storeQuota(args: readonly string[], io: Io): Promise<number> {
  const { operands, options } = readOptions(args, ['--tenant', '--photos', '--gib']);
  if (operands.length > 0) throw new Misused(`store quota does not know what to do with ${operands.join(' ')}.`);
  const tenant = tenantIn(options.get('--tenant'));
  const [photos, gib] = ['--photos', '--gib'].map((name) => limitIn(name, options.get(name)));
  if (tenant === undefined && (photos !== undefined || gib !== undefined)) {
    throw new Misused('Name the house whose limits change with --tenant ID.');
  }
  const config = loadConfig(process.env);
  return onDatabase(config, io, async (client) => {
    await demandFullSight(client);
    if (tenant !== undefined && !(await begin(client, tenant))) throw new Misused(`There is no tenant ${tenant}.`);
    if (photos !== undefined) await setLimit(client, 'max_photos', tenant, photos === 'default' ? null : photos);
    if (gib !== undefined) await setLimit(client, 'max_bytes', tenant, gib === 'default' ? null : gib * 1024 ** 3);
    const { quota } = config.photos;
    const { rows } = await client.query(
      `select t.id tenant, t.name, coalesce(u.photos, 0)::float8 photos, coalesce(u.bytes, 0)::float8 bytes,
         coalesce(u.max_photos, $1)::float8 "maxPhotos", coalesce(u.max_bytes, $2)::float8 "maxBytes"
       from tenant t left join exhibit_usage u on u.tenant_id = t.id where $3::uuid is null or t.id = $3 order by t.name, t.id`,
      [quota.photos, quota.bytes, tenant ?? null],
    );
    io.out(JSON.stringify({ format: 'photo-quota/1', houses: rows }));
    return EXIT.ok;
  });
}

function checkOptions(args: readonly string[]): { readonly rehash: boolean; readonly removeOrphans: boolean } {
  const known = ['--rehash', '--remove-orphans', '--json'];
  const unknown = args.filter((argument) => !known.includes(argument));
  if (unknown.length > 0) throw new Misused(`store check does not know what to do with ${unknown.join(' ')}.`);
  return { rehash: args.includes('--rehash'), removeOrphans: args.includes('--remove-orphans') };
}

async function onDatabase(config: Config, io: Io, work: (client: pg.Client) => Promise<number>): Promise<number> {
  try {
    const { stateDir, databaseUrl } = config;
    const database = await resolveDatabase({ stateDir, databaseUrl, onProgress: io.err });
    try {
      return await withClient(database.url, work);
    } finally {
      await database.stop();
    }
  } catch (error) {
    // What cannot be looked at is not well, and not unwell either.
    if (!(error instanceof DatabaseUnavailable) && !(error instanceof StoreUnavailable)) throw error;
    io.err(error.message);
    return EXIT.badInput;
  }
}

/** An account behind the wall would see no photo at all and call every original an orphan. */
async function demandFullSight(client: pg.Client): Promise<void> {
  const { rows } = await client.query<{ sees: boolean }>(
    'select rolsuper or rolbypassrls as sees from pg_roles where rolname = current_user',
  );
  if (rows[0]?.sees === true) return;
  throw new Misused('This database account sees one house at a time. Use one that may see all (BYPASSRLS).');
}

async function* recordedIn(client: pg.Client): AsyncIterable<Recorded> {
  for (let after = ''; ;) {
    const { rows } = await client.query<{ sha256: string; least: number; most: number; photos: number }>(
      `select sha256, min(bytes)::float8 least, max(bytes)::float8 most, count(*)::float8 photos from exhibit
       where sha256 collate "C" > $1 group by sha256 order by sha256 collate "C" limit $2`,
      [after, AT_ONCE],
    );
    for (const { sha256, least, most, photos } of rows) yield { sha256, bytes: [least, most], photos };
    if (rows.length < AT_ONCE) return;
    after = rows.at(-1)?.sha256 ?? after;
  }
}

async function isReferredTo(client: pg.Client, sha256: string): Promise<boolean> {
  const { rowCount } = await client.query('select 1 from exhibit where sha256 = $1 limit 1', [sha256]);
  return rowCount !== 0;
}

/** @returns whether there is such a tenant */
async function begin(client: pg.Client, tenant: string): Promise<boolean> {
  await client.query(
    `insert into exhibit_usage (tenant_id, photos, bytes)
     select t.id, count(e.id), coalesce(sum(e.bytes), 0) from tenant t left join exhibit e on e.tenant_id = t.id
     where t.id = $1 group by t.id on conflict (tenant_id) do nothing`,
    [tenant],
  );
  const { rowCount } = await client.query('select 1 from exhibit_usage where tenant_id = $1', [tenant]);
  return rowCount === 1;
}

async function setLimit(
  client: pg.Client,
  column: 'max_photos' | 'max_bytes',
  tenant: string | undefined,
  limit: number | null,
): Promise<void> {
  await client.query(`update exhibit_usage set ${column} = $2 where tenant_id = $1`, [tenant, limit]);
}

function tenantIn(text: string | undefined): string | undefined {
  const id = text === undefined ? undefined : parseUuid(text);
  if (text !== undefined && id === undefined) throw new Misused(`${text} is not the id of a tenant.`);
  return id;
}

function limitIn(name: string, text: string | undefined): number | 'default' | undefined {
  if (text === undefined || text === 'default') return text;
  if (/^\d{1,9}$/.test(text)) return Number(text);
  throw new Misused(`${name} is a whole number, or "default" for what the settings say.`);
}
