import { Module, type DynamicModule, type Type } from '@nestjs/common';
import type { NestFastifyApplication } from '@nestjs/platform-fastify';
import { ALL_MIGRATIONS } from '../../migrations/all.js';
import { ACCESS_ENTITIES, AccessModule } from '../../src/access/access.module.js';
import { StandingClock, type Clock } from '../../src/platform/clock.js';
import { loadConfig, type Config } from '../../src/platform/config/config.js';
import type { EntityClass } from '../../src/platform/db/data-source.js';
import { httpApp, type HttpOptions } from '../../src/platform/http/http-app.js';
import { PlatformModule } from '../../src/platform/platform.module.js';
import { openLog, type Log } from '../../src/platform/telemetry/log.js';

/** The moment at which tests begin, unless they say otherwise. */
export const TEST_START = Temporal.Instant.from('2026-03-02T09:00:00Z');

export interface TestApp {
  readonly app: NestFastifyApplication;
  readonly config: Config;
  readonly clock: StandingClock;
  /** Every log line so far, parsed. Empty unless `logLevel` was given. */
  readonly lines: Record<string, unknown>[];
}

export interface TestAppOptions extends HttpOptions {
  /** Beside AS_NOTED_MODE=test and AS_NOTED_RUNS=api. */
  readonly env?: Readonly<Record<string, string>>;
  /** Makes the whole app, as AppModule.with does. Absent: platform, access and `modules` only. */
  readonly root?: (config: Config, log: Log, clock: Clock) => DynamicModule;
  readonly modules?: readonly (Type | DynamicModule)[];
  readonly controllers?: readonly Type[];
  readonly entities?: readonly EntityClass[];
}

/** Starts an app on a migrated database, without a port: use `app.inject`. Close it with `app.close()`. @param url owner's address */
export async function testApp(url: string, options: TestAppOptions = {}): Promise<TestApp> {
  const env = {
    AS_NOTED_MODE: 'test',
    AS_NOTED_RUNS: 'api',
    AS_NOTED_POOL_SIZE: '6',
    DATABASE_URL: url,
    ...options.env,
  };
  const config = loadConfig(env);
  const clock = new StandingClock(TEST_START);
  const lines: Record<string, unknown>[] = [];
  const log = openLog(config.logLevel, {
    write: (line: string) => void lines.push(JSON.parse(line) as Record<string, unknown>),
  });
  const root = options.root?.(config, log, clock) ?? smallRoot(config, log, clock, options);
  const app = await httpApp(root, config, log, options);
  await app.init();
  await app.getHttpAdapter().getInstance().ready();
  return { app, config, clock, lines };
}

/** Holds nothing itself. */
@Module({})
class TestRoot {}

function smallRoot(config: Config, log: Log, clock: Clock, options: TestAppOptions): DynamicModule {
  const entities = [...ACCESS_ENTITIES, ...(options.entities ?? [])];
  return {
    module: TestRoot,
    imports: [
      PlatformModule.with({ config, log, clock, entities, migrations: ALL_MIGRATIONS }),
      AccessModule,
      ...(options.modules ?? []),
    ],
    controllers: [...(options.controllers ?? [])],
  };
}
