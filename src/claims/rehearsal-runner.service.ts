import { Injectable, type BeforeApplicationShutdown } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { Config } from '../platform/config/config.js';
import { InjectConfig } from '../platform/config/inject-config.js';
import { APP_ROLE, underRole } from '../platform/db/data-source.js';
import { Database } from '../platform/db/database.js';
import { RehearsalsService } from '../policies/rehearsals.service.js';
import { rehearsalResult } from './domain/rehearsal-result.js';
import { RehearsalTotals, type StretchTotals } from './domain/rehearsal-totals.js';
import { RehearsalCrew } from './rehearsal/rehearsal-crew.js';
import { rehearsedPolicy } from './rehearsal/rehearsed-policy.js';
import { rehearsedRegions, type RegionToCount } from './rehearsal/rehearsed-regions.js';

/** Claims of a rehearsal whose sums are read at a time. */
const STRETCHES_AT_ONCE = 200;

/** Goes through a rehearsal that was asked for, and writes down what it found. Run again, it goes on where it was. */
@Injectable()
export class RehearsalRunnerService implements BeforeApplicationShutdown {
  readonly crew = new RehearsalCrew();

  constructor(
    private readonly db: Database,
    @InjectConfig() private readonly config: Config,
    private readonly rehearsals: RehearsalsService,
  ) {}

  async beforeApplicationShutdown(): Promise<void> {
    await this.crew.close();
  }

  /** Works on a rehearsal until it is finished, cancelled or failed. @throws Error where it should be tried again */
  async run(tenant: string, rehearsal: string): Promise<void> {
    if (this.config.databaseUrl === undefined) throw new Error('a rehearsal needs a database');
    const order = { tenant, rehearsal };
    const ends = await this.crew.work({ url: underRole(this.config.databaseUrl, APP_ROLE), order });
    const failed = ends.find((end) => !end.ok);
    if (failed === undefined) await this.finish(tenant, rehearsal);
    else if (!failed.ok && failed.lasting) await this.rehearsals.fail(tenant, rehearsal, failed.problem);
    else throw new Error(failed.ok ? 'nothing failed' : failed.problem);
  }

  /** Adds up what the stretches came to. Does nothing while one is open, and nothing where the rehearsal has ended. */
  private async finish(tenant: string, rehearsal: string): Promise<void> {
    await this.db.inTenant({ tenant }, async (tx) => {
      const sums = new RehearsalTotals();
      for (let after = 0, read = STRETCHES_AT_ONCE; read === STRETCHES_AT_ONCE;) {
        const stretches = await stretchesAfter(tx, { tenant, rehearsal, after });
        for (const { n, totals } of stretches) {
          if (totals === null) return;
          sums.merge(totals);
          after = n;
        }
        read = stretches.length;
      }
      const regions = await this.regions(tx, tenant, rehearsal);
      await this.rehearsals.finish(tx, { tenant, rehearsal }, (cautions) =>
        rehearsalResult(sums, { regions, cautions }),
      );
    });
  }

  /** The regions that were counted, in the order in which they were. */
  private async regions(tx: EntityManager, tenant: string, rehearsal: string): Promise<RegionToCount['shown'][]> {
    const rows = await tx.query<{ document: object; body: object }[]>(
      `select h.document, v.body from rehearsal h
       join policy_version v on v.tenant_id = h.tenant_id and v.code = h.code and v.version = (h.wish ->> 'comparedWith')::int
       where h.tenant_id = $1 and h.id = $2`,
      [tenant, rehearsal],
    );
    const [row] = rows;
    if (row === undefined) return [];
    const [was, becomes] = [rehearsedPolicy(row.body).policy, rehearsedPolicy(row.document).policy];
    return rehearsedRegions(was, becomes).map(({ shown }) => shown);
  }
}

function stretchesAfter(
  tx: EntityManager,
  of: { readonly tenant: string; readonly rehearsal: string; readonly after: number },
): Promise<{ readonly n: number; readonly totals: StretchTotals | null }[]> {
  return tx.query(
    `select n, totals from rehearsal_batch where tenant_id = $1 and rehearsal_id = $2 and n > $3 order by n limit ${STRETCHES_AT_ONCE}`,
    [of.tenant, of.rehearsal, of.after],
  );
}
