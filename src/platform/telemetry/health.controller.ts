import { timingSafeEqual } from 'node:crypto';
import { Controller, Get, Inject, Req, Res } from '@nestjs/common';
import { ApiExcludeController } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { Config } from '../config/config.js';
import { InjectConfig } from '../config/inject-config.js';
import { MIGRATIONS_TABLE } from '../db/data-source.js';
import { Database } from '../db/database.js';
import { Refused } from '../http/problems.js';
import { Public } from '../http/public.js';
import { Jobs } from '../jobs/jobs.js';
import { Metrics } from './metrics.js';

/** Injection token of the names of all migrations that this build knows. */
export const MIGRATION_NAMES = Symbol('migration names');

/** For whatever watches over the process. */
@Public()
@ApiExcludeController()
@Controller()
export class HealthController {
  constructor(
    private readonly db: Database,
    private readonly jobs: Jobs,
    private readonly metrics: Metrics,
    @InjectConfig() private readonly config: Config,
    @Inject(MIGRATION_NAMES) private readonly migrations: readonly string[],
  ) {}

  /** The process runs. Says nothing about the database, so that an outage there does not restart everything here. */
  @Get('livez')
  live(): { readonly live: true } {
    return { live: true };
  }

  /** The process can do its work. */
  @Get('readyz')
  async ready(): Promise<{ readonly ready: true }> {
    const missing: string[] = [];
    if (!(await this.migrated())) missing.push('The database is not at the newest step; run the migrations.');
    if (this.config.runs !== 'api' && !this.jobs.running) missing.push('The job side is not running.');
    if (missing.length > 0) throw new Refused('unavailable', missing.join(' '));
    return { ready: true };
  }

  @Get('metrics')
  async measure(@Req() request: FastifyRequest, @Res() reply: FastifyReply): Promise<void> {
    const expected = this.config.metricsToken;
    if (expected !== undefined && !sameText(request.headers.authorization ?? '', `Bearer ${expected}`)) {
      throw new Refused('sign-in-required', 'Send the metrics token as a bearer token.');
    }
    await reply.type(this.metrics.registry.contentType).send(await this.metrics.text());
  }

  private async migrated(): Promise<boolean> {
    const rows = await this.db.outside((tx) => tx.query<{ name: string }[]>(`select name from ${MIGRATIONS_TABLE}`));
    const applied = new Set(rows.map((row) => row.name));
    return this.migrations.every((name) => applied.has(name));
  }
}

function sameText(a: string, b: string): boolean {
  const [left, right] = [Buffer.from(a), Buffer.from(b)];
  return left.length === right.length && timingSafeEqual(left, right);
}
