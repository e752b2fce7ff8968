import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { Fault } from '../kernel/outcome.js';
import { Refused } from '../platform/http/problems.js';
import { examineDocument } from './examine-policy.js';
import { DecisionRecordStore } from './store/decision-record.store.js';
import type { PolicyVersionRow } from './store/policy-version.entity.js';
import { RehearsalStore, type RehearsalRow } from './store/rehearsal.store.js';

/** What has to be seen before a version may go further. */
@Injectable()
export class PolicyEvidenceService {
  constructor(
    private readonly records: DecisionRecordStore,
    private readonly rehearsals: RehearsalStore,
  ) {}

  /** What stands against proposing or approving a document: faults, examples that fail, errors of the analysis. */
  against(document: object): readonly Fault[] {
    const { faults, examples, analysis } = examineDocument(document);
    const failed = examples.flatMap(({ id, differences }, index) =>
      differences.map((difference) => ({
        pointer: `#/examples/${index}/expect`,
        detail: `Example ${id}: ${difference}`,
      })),
    );
    const wrong = (analysis?.findings ?? [])
      .filter(({ severity }) => severity === 'error')
      .map(({ pointer, detail }) => ({ pointer, detail }));
    return [...faults, ...failed, ...wrong];
  }

  /** The newest finished rehearsal of exactly this content. */
  rehearsalOf(tx: EntityManager, row: PolicyVersionRow): Promise<RehearsalRow | null> {
    return this.rehearsals.finishedOf(tx, row.tenantId, row.id, row.hash);
  }

  /**
   * The rehearsal that an approval of this content rests on; undefined where there are no past claims to rehearse it on.
   * @throws Refused `rehearsal-needed`
   */
  async demandRehearsed(tx: EntityManager, row: PolicyVersionRow): Promise<string | undefined> {
    const finished = await this.rehearsalOf(tx, row);
    if (finished !== null) return finished.id;
    if (!(await this.records.anyFor(tx, row.tenantId, row.jurisdiction))) return undefined;
    throw new Refused('rehearsal-needed', 'Rehearse this version on past claims first, and look at what changes.', {
      hash: row.hash,
    });
  }
}
