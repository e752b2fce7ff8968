import { ALL_MIGRATIONS } from '../../../migrations/all.js';
import { loadConfig, type Config } from '../../platform/config/config.js';
import { prepareDatabase } from '../../platform/db/prepare-database.js';
import { resolveDatabase } from '../../platform/postgres/resolve-database.js';
import { DatabaseUnavailable } from '../../platform/postgres/unavailable.js';
import { loadSamples } from '../samples/load-samples.js';
import { samplesState } from '../samples/samples-state.js';
import { EXIT, Misused, type Io } from '../verb.js';

/** `samples load`: puts the sample people, documents and claims into an empty database, or finishes what was interrupted. */
export async function samplesLoad(args: readonly string[], io: Io): Promise<number> {
  if (args.length > 0) throw new Misused('samples load takes no arguments.');
  const given = loadConfig(process.env);
  if (given.mode === 'production') {
    io.err(
      'Samples are not loaded in production mode: their sign-ins are public. Use another database and AS_NOTED_MODE=sample.',
    );
    return EXIT.badInput;
  }
  try {
    const database = await resolveDatabase({
      stateDir: given.stateDir,
      databaseUrl: given.databaseUrl,
      onProgress: io.err,
    });
    try {
      return await fill({ ...given, databaseUrl: database.url }, database.url, io);
    } finally {
      await database.stop();
    }
  } catch (error) {
    if (!(error instanceof DatabaseUnavailable)) throw error;
    io.err(error.message);
    return EXIT.failed;
  }
}

async function fill(config: Config, url: string, io: Io): Promise<number> {
  await prepareDatabase(url, ALL_MIGRATIONS);
  const before = await samplesState(url);
  if (before === 'not ours') {
    io.err('The database holds tenants already, so nothing was loaded. Samples go into an empty database.');
    return EXIT.findings;
  }
  if (before !== 'loaded') await loadSamples(config, io.err);
  io.out(JSON.stringify({ before, now: await samplesState(url) }));
  return EXIT.ok;
}
