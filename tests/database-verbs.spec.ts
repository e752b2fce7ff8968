import { afterEach, describe, expect, it } from 'vitest';
import { verifyEvents } from '../src/cli/verbs/events.js';
import { samplesLoad } from '../src/cli/verbs/samples.js';
import { openTenant } from '../src/cli/verbs/tenants.js';
import type { Io } from '../src/cli/verb.js';
import { verifyPassword } from '../src/access/crypto/password-hash.js';
import { claimDesk } from './support/claims.js';
import { decidedBentFrame, recoveryOn } from './support/recoveries.js';

const desk = claimDesk();
const given = { ...process.env };

afterEach(() => {
  for (const name of ['DATABASE_URL', 'AS_NOTED_MODE', 'AS_NOTED_PUBLIC_URL']) {
    if (given[name] === undefined) delete process.env[name];
    else process.env[name] = given[name];
  }
});

interface Said {
  readonly io: Io;
  readonly out: string[];
  readonly err: string[];
}

/** A command line that notes what is said, on the test's own database. */
function terminal(stdin = ''): Said {
  process.env['DATABASE_URL'] = desk.data().url;
  const out: string[] = [];
  const err: string[] = [];
  const io: Io = {
    out: (line) => out.push(line),
    err: (line) => err.push(line),
    stdin: async () => Buffer.from(stdin),
  };
  return { io, out, err };
}

const PHRASE = 'a quiet pebble under the bridge';
const OPENING = ['--name', 'Quay House', '--administrator', 'Ines Rowe', '--email', 'ines@quay.example'];

describe('tenants open', () => {
  it('opens a house with an administrator who can get in, in a database without any', async () => {
    const { io, out } = terminal(`${PHRASE}\n`);
    expect(await openTenant(OPENING, io)).toBe(0);
    const { tenant, administrator } = JSON.parse(out[0] ?? '') as { tenant: string; administrator: string };
    const [person] = await desk
      .data()
      .rows<{ roles: string[]; hash: string; sample: boolean }>(
        `select p.roles, p.password_hash as hash, t.sample from person p join tenant t on t.id = p.tenant_id where p.id = $1 and t.id = $2`,
        [administrator, tenant],
      );
    expect(person).toMatchObject({ roles: ['administrator'], sample: false });
    expect(await verifyPassword(PHRASE, person?.hash ?? '')).toBe(true);
  });

  it('opens nothing when the administrator cannot be added', async () => {
    const before = await desk.data().rows('select count(*) from tenant');
    const short = terminal('short');
    expect(await openTenant(OPENING, short.io)).toBe(2);
    expect(short.err.at(-1)).toMatch(/^--password: Use at least 15 characters/);
    expect(await desk.data().rows('select count(*) from tenant')).toEqual(before);
  });
});

describe('events verify', () => {
  it('finds every chain whole, and names the claim whose history a superuser has altered', async () => {
    const { id } = await desk.proposed();
    const whole = terminal();
    expect(await verifyEvents([], whole.io)).toBe(0);
    expect(JSON.parse(whole.out[0] ?? '')).toMatchObject({ claims: 1, whole: true, faults: [] });
    await desk.data().rows('alter table claim_event disable trigger claim_event_fixed');
    await desk
      .data()
      .rows(`update claim_event set body = body || '{"ground": "return, really"}' where claim_id = $1 and n = 1`, [id]);
    await desk.data().rows('alter table claim_event enable trigger claim_event_fixed');
    const altered = terminal();
    expect(await verifyEvents([], altered.io)).toBe(1);
    expect(altered.err.at(-1)).toBe(`Claim ${id}: event 1 was altered after it was written.`);
  });

  it('walks the recoveries of the claims as well', async () => {
    const claim = await decidedBentFrame(desk);
    const { id } = await recoveryOn(desk, claim, 'carrier');
    const whole = terminal();
    expect(await verifyEvents([], whole.io), whole.err.join('\n')).toBe(0);
    await desk.data().rows('alter table recovery_event disable trigger recovery_event_fixed');
    await desk.data().rows('delete from recovery_event where recovery_id = $1', [id]);
    await desk.data().rows('alter table recovery_event enable trigger recovery_event_fixed');
    const cut = terminal();
    expect(await verifyEvents([], cut.io)).toBe(1);
    expect(cut.err.at(-1)).toMatch(/^Claim .+: in the recovery from .+, it has no events at all\.$/);
  });
});

describe('samples load', () => {
  it('is refused in production and in a database that belongs to somebody', async () => {
    const foreign = terminal();
    expect(await samplesLoad([], foreign.io)).toBe(1);
    expect(foreign.err.at(-1)).toMatch(/holds tenants already/);
    const production = terminal();
    process.env['AS_NOTED_MODE'] = 'production';
    process.env['AS_NOTED_PUBLIC_URL'] = 'https://claims.example';
    expect(await samplesLoad([], production.io)).toBe(2);
    expect(production.err.at(-1)).toMatch(/not loaded in production/);
  });
});
