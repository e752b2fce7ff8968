import 'reflect-metadata';
import { randomUUID } from 'node:crypto';
import { NestFactory } from '@nestjs/core';
import { ALL_MIGRATIONS } from '../../../migrations/all.js';
import { AccessService } from '../../access/access.service.js';
import { AppModule } from '../../app.module.js';
import { loadConfig, type Config } from '../../platform/config/config.js';
import { Database } from '../../platform/db/database.js';
import { prepareDatabase } from '../../platform/db/prepare-database.js';
import { Refused } from '../../platform/http/problems.js';
import { resolveDatabase } from '../../platform/postgres/resolve-database.js';
import { DatabaseUnavailable } from '../../platform/postgres/unavailable.js';
import { openLog } from '../../platform/telemetry/log.js';
import { readOptions } from '../command-options.js';
import { EXIT, Misused, type Io } from '../verb.js';

/** A house to open, and the person who may then let everybody else in. */
interface Opening {
  readonly tenant: string;
  readonly name: string;
  readonly email: string;
  readonly password: string;
}

/**
 * `tenants open`: opens a tenant with its first administrator in a database that may be empty. The phrase comes on standard input, so that it
 * stands in no list of processes and no history of commands.
 */
export async function openTenant(args: readonly string[], io: Io): Promise<number> {
  const opening = await readOpening(args, io);
  const given = loadConfig(process.env);
  try {
    const database = await resolveDatabase({
      stateDir: given.stateDir,
      databaseUrl: given.databaseUrl,
      onProgress: io.err,
    });
    try {
      await prepareDatabase(database.url, ALL_MIGRATIONS);
      const opened = await open({ ...given, databaseUrl: database.url }, opening);
      io.out(JSON.stringify(opened));
      return EXIT.ok;
    } finally {
      await database.stop();
    }
  } catch (error) {
    if (error instanceof Refused) {
      const faults = error.faults.map(({ pointer, detail }) => `${pointer.replace('#/', '--')}: ${detail}`);
      for (const line of faults.length > 0 ? faults : [error.message]) io.err(line);
      return EXIT.badInput;
    }
    if (!(error instanceof DatabaseUnavailable)) throw error;
    io.err(error.message);
    return EXIT.failed;
  }
}

async function readOpening(args: readonly string[], io: Io): Promise<Opening> {
  const { operands, options } = readOptions(args, ['--name', '--administrator', '--email']);
  if (operands.length > 0) throw new Misused(`tenants open does not know what to do with ${operands.join(' ')}.`);
  const need = (name: string, why: string): string => {
    const value = options.get(name)?.trim();
    if (value === undefined || value === '') throw new Misused(`tenants open needs ${name}: ${why}.`);
    return value;
  };
  const tenant = need('--name', 'what the house is called');
  const name = need('--administrator', 'the name of its first administrator');
  const email = need('--email', 'the address that this person signs in with');
  io.err('Reading the phrase of the administrator from standard input: at least 15 characters, one line.');
  const [password = ''] = Buffer.from(await io.stdin())
    .toString('utf8')
    .split(/\r?\n/);
  return { tenant, name, email, password };
}

async function open(
  config: Config,
  opening: Opening,
): Promise<{ readonly tenant: string; readonly administrator: string }> {
  const root = AppModule.with({ ...config, runs: 'api' }, openLog('warn'));
  const app = await NestFactory.createApplicationContext(root, { logger: false });
  try {
    const access = app.get(AccessService, { strict: false });
    const id = randomUUID();
    // One transaction: no house without somebody who can get in.
    const administrator = await app.get(Database, { strict: false }).inTenant({ tenant: id }, async () => {
      await access.openTenant({ id, name: opening.tenant, sample: false });
      const { name, email, password } = opening;
      return access.addPerson(id, { name, email, password, roles: ['administrator'] });
    });
    return { tenant: id, administrator };
  } finally {
    await app.close();
  }
}
