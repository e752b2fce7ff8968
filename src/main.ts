import { ALL_MIGRATIONS } from '../migrations/all.js';
import { AppModule } from './app.module.js';
import { loadSamples } from './cli/samples/load-samples.js';
import { samplesState } from './cli/samples/samples-state.js';
import { whereToGo } from './cli/samples/where-to-go.js';
import { ConfigFaults, loadConfig, type Config } from './platform/config/config.js';
import { prepareDatabase } from './platform/db/prepare-database.js';
import { httpApp } from './platform/http/http-app.js';
import { resolveDatabase } from './platform/postgres/resolve-database.js';
import { stopOnSignals } from './platform/postgres/stop-on-signals.js';
import { DatabaseUnavailable } from './platform/postgres/unavailable.js';
import { openLog } from './platform/telemetry/log.js';
import { errorPage } from './web/error-page.js';

/** Lines for the person at the terminal go to standard error, so that standard output stays one JSON object a line. */
function tell(line: string): void {
  process.stderr.write(`${line}\n`);
}

/** Starts everything: database, migrations, samples where they belong, and the service on one port. */
async function start(): Promise<void> {
  const lap = stopwatch();
  const given = loadConfig(process.env);
  lap('program');
  const database = await resolveDatabase({
    stateDir: given.stateDir,
    databaseUrl: given.databaseUrl,
    onProgress: tell,
  });
  const config: Config = { ...given, databaseUrl: database.url };
  let close = (): Promise<void> => Promise.resolve();
  const stop = async (): Promise<void> => {
    await close();
    await database.stop();
  };
  stopOnSignals(stop, tell);
  try {
    tell(`PostgreSQL ${database.version} is ready (${seconds(lap('database'))} s).`);
    const applied = await prepareDatabase(database.url, ALL_MIGRATIONS);
    const migrated = lap('migrations');
    if (applied.length > 0) tell(`Applied ${applied.length} migrations (${seconds(migrated)} s).`);
    const samples = config.mode === 'sample' ? await samplesState(database.url) : 'not ours';
    if (samples === 'empty' || samples === 'partly loaded') await loadSamples(config, tell);
    lap('samples');
    close = await serve(config);
    lap('service');
    tell(await whereToGo(config, samples !== 'not ours'));
    tell(`Ready after ${seconds(performance.now())} s (${lap.told()}). Press Ctrl-C to stop.`);
  } catch (error) {
    await stop();
    throw error;
  }
}

/** Times what follows one after another, from the start of the process on. Each call ends a part and gives its milliseconds. */
function stopwatch(): { (part: string): number; told(): string } {
  const parts: string[] = [];
  let last = 0;
  const lap = (part: string): number => {
    const took = performance.now() - last;
    last += took;
    parts.push(`${part} ${(took / 1000).toFixed(2)}`);
    return took;
  };
  return Object.assign(lap, { told: () => parts.join(', ') });
}

async function serve(config: Config): Promise<() => Promise<void>> {
  const log = openLog(config.logLevel);
  const app = await httpApp(AppModule.with(config, log), config, log, { errorPage });
  await app.listen(config.port, config.host);
  return () => app.close();
}

function seconds(ms: number): string {
  return (ms / 1000).toFixed(1);
}

start().catch((error: unknown) => {
  if (error instanceof ConfigFaults || error instanceof DatabaseUnavailable) tell(error.message);
  else if (portTaken(error))
    tell('The port is taken by another program. Set PORT to a free one, or stop that program.');
  else tell(error instanceof Error ? (error.stack ?? error.message) : String(error));
  process.exitCode = 1;
});

function portTaken(error: unknown): boolean {
  return error instanceof Error && (error as { code?: string }).code === 'EADDRINUSE';
}
