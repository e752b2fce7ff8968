import { Module, type DynamicModule } from '@nestjs/common';
import { DataSource } from 'typeorm';
import { Clock } from './clock.js';
import type { Config } from './config/config.js';
import { CONFIG } from './config/inject-config.js';
import { Changes } from './db/changes.js';
import { appDataSource, type EntityClass, type MigrationClass } from './db/data-source.js';
import { Database } from './db/database.js';
import { Idempotency } from './http/idempotency.js';
import { ApiDescription, OpenApiController } from './http/openapi.controller.js';
import { ProblemPagesController } from './http/problem-pages.controller.js';
import { Jobs } from './jobs/jobs.js';
import { LedgerStore } from './ledger/ledger.store.js';
import { HealthController, MIGRATION_NAMES } from './telemetry/health.controller.js';
import { LOG } from './telemetry/inject-log.js';
import type { Log } from './telemetry/log.js';
import { Metrics } from './telemetry/metrics.js';

export interface PlatformOptions {
  readonly config: Config;
  readonly log: Log;
  readonly entities: readonly EntityClass[];
  readonly migrations: readonly MigrationClass[];
  /** The real one unless a test moves time. */
  readonly clock?: Clock;
}

/** What every other module stands on. Global: nobody imports it twice. */
@Module({})
export class PlatformModule {
  static with(options: PlatformOptions): DynamicModule {
    const { config, log } = options;
    const source = appDataSource({
      // Wiring needs no database, e.g. to describe the API; connecting to this address fails in words.
      url: config.databaseUrl ?? 'postgres://no-database-configured.invalid/none',
      entities: options.entities,
      poolSize: config.poolSize,
      statementTimeoutMs: config.statementTimeoutMs,
    });
    return {
      module: PlatformModule,
      global: true,
      controllers: [HealthController, OpenApiController, ProblemPagesController],
      providers: [
        { provide: CONFIG, useValue: config },
        { provide: LOG, useValue: log },
        { provide: Clock, useValue: options.clock ?? new Clock() },
        { provide: DataSource, useValue: source },
        {
          provide: MIGRATION_NAMES,
          useValue: options.migrations.map((migration) => new migration().name ?? migration.name),
        },
        Database,
        Changes,
        Metrics,
        Jobs,
        ApiDescription,
        Idempotency,
        LedgerStore,
      ],
      exports: [CONFIG, LOG, Clock, Database, Changes, Metrics, Jobs, ApiDescription, Idempotency, LedgerStore],
    };
  }
}
