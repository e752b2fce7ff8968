import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { Actor } from '../access/access.contract.js';
import { Clock } from '../platform/clock.js';
import { Refused } from '../platform/http/problems.js';
import type { VersionMatch } from '../platform/http/versions.js';
import { ClaimHands } from './claim-hands.js';
import type { Happening, Stamp } from './claims.contract.js';
import { ClockWatchService } from './clock-watch.service.js';
import { isoInstant } from './domain/iso-instant.js';
import { stampOf } from './domain/stamp-of.js';
import type { ClaimRow } from './store/claim.entity.js';
import { ClaimClockStore } from './store/claim-clock.store.js';
import { ClaimStore } from './store/claim.store.js';

/** What happened, when, and in what words. */
export interface HappeningToNote {
  readonly what: Happening;
  /** RFC 3339 instant, not in the future */
  readonly at: string;
  readonly words: string | null;
}

/** Notes of what happens outside a claim's own steps, and starts or stops its clocks. */
@Injectable()
export class ClaimHappeningsService {
  constructor(
    private readonly store: ClaimStore,
    private readonly clocks: ClaimClockStore,
    private readonly hands: ClaimHands,
    private readonly watch: ClockWatchService,
    private readonly clock: Clock,
  ) {}

  /** Notes that something happened to a claim. Its clocks follow at once. @throws Refused claim-state-forbids, claim-withdrawn */
  note(actor: Actor, claimId: string, noted: HappeningToNote, match: VersionMatch): Promise<ClaimRow> {
    return this.hands.take(actor, claimId, match, async ({ tx, row, at }) => {
      demandAlive(row);
      await this.write(tx, row, { ...noted, by: stampOf(actor), notedAt: at });
      return this.store.update(tx, row, {}, at);
    });
  }

  /**
   * The same for another part of the house that acts on the claim, inside its own transaction: the carrier took a demand, answered it.
   * The claim's version stays, because nobody's view of the claim is overwritten.
   * @throws Refused not-found
   */
  async happened(
    tx: EntityManager,
    tenant: string,
    claimId: string,
    noted: HappeningToNote & { by: Stamp },
  ): Promise<void> {
    const row = await this.store.lock(tx, tenant, claimId);
    const notedAt = isoInstant(this.clock.now());
    await this.write(tx, row, { ...noted, notedAt });
    await this.watch.refresh(tx, row, notedAt);
  }

  private async write(
    tx: EntityManager,
    row: ClaimRow,
    noted: HappeningToNote & { readonly by: Stamp; readonly notedAt: string },
  ): Promise<void> {
    const { what, at, words, by, notedAt } = noted;
    const of = { tenantId: row.tenantId, claimId: row.id };
    await this.clocks.addHappening(tx, of, { what, at, words, by: `${by.kind}:${by.id}`, notedAt });
    const body = { what, at, ...(words === null ? {} : { words }) };
    await this.store.append(tx, row, [{ kind: 'happening-noted', at: notedAt, actor: by, body }]);
  }
}

function demandAlive(row: ClaimRow): void {
  if (row.state === 'withdrawn')
    throw new Refused('claim-withdrawn', 'The claim was withdrawn; its clocks have ended.');
  if (row.state !== 'draft') return;
  throw new Refused('claim-state-forbids', 'The claim is still a draft; file it first.');
}
