import { Injectable } from '@nestjs/common';
import type { Actor } from '../access/access.contract.js';
import { Database } from '../platform/db/database.js';
import type { VersionAddress } from '../platform/documents/document-lifecycle.js';
import { scopeOf } from '../platform/http/caller.js';
import { Invalid, Refused } from '../platform/http/problems.js';
import { PoliciesService } from '../policies/policies.service.js';
import type { EvidenceModel, FindingBar } from './diagnosis.contract.js';
import { EvidenceModelsService } from './evidence-models.service.js';
import { findingBar } from './finding-bar.js';
import {
  compareModels,
  learnModel,
  reportOn,
  type LearningStrength,
  type Lesson,
  type LessonTally,
  type ModelComparison,
  type ModelReport,
} from './learning.contract.js';
import type { EvidenceModelVersionRow } from './store/evidence-model-version.entity.js';

/** A draft learnt from decided claims, as it was written. */
export interface WrittenDraft {
  readonly row: EvidenceModelVersionRow;
  /** Number of the published version that it was learnt on. */
  readonly learntOn: number;
  readonly tally: LessonTally;
  /** How many numbers changed. */
  readonly changed: number;
}

/** How a report is to be made. */
export interface ReportWish {
  /** Another version of the same model, set against it on the same claims. */
  readonly challenger?: number | undefined;
  /** Code of the policy whose bar decides what goes to a person, and the local date for its parameters; both or none. */
  readonly policy?: string | undefined;
  readonly on?: string | undefined;
}

/** Learning from decided claims, and how well versions meet them. The claims come from whoever keeps them, one at a time. */
@Injectable()
export class LearningService {
  constructor(
    private readonly db: Database,
    private readonly models: EvidenceModelsService,
    private readonly policies: PoliciesService,
  ) {}

  /**
   * Writes a draft learnt on the version in force. A second person publishes it like any other draft.
   * @throws Refused `evidence-model-not-published`, `nothing-to-learn`; Invalid `evidence-model-invalid` when the draft could not be used
   */
  async draft(
    actor: Actor,
    code: string,
    lessons: AsyncIterable<Lesson>,
    strength: LearningStrength,
  ): Promise<WrittenDraft> {
    const base = await this.db.inTenant(scopeOf(actor), (tx) => this.models.published(tx, actor.tenant, code));
    // Checked when it was written, and never changed since it was published.
    const outcome = await learnModel(base.body as EvidenceModel, lessons, strength);
    if (!outcome.ok) {
      throw new Invalid(
        outcome.faults,
        'evidence-model-invalid',
        'What was learnt cannot be used as it is. Let the published version count for more, or learn from more claims.',
      );
    }
    const { model, tally, changes } = outcome.value;
    if (tally.used === 0) {
      throw new Refused('nothing-to-learn', `No decided claim settles an explanation of ${code}. Decide claims first.`);
    }
    return {
      row: await this.models.draft(actor, code, model),
      learntOn: base.version,
      tally,
      changed: changes.length,
    };
  }

  /**
   * Scores a version, draft or published, on decided claims; with a challenger both on the same.
   * @throws Refused `not-found`, `policy-missing`; Invalid when only one of policy and day is given
   */
  async report(
    actor: Actor,
    address: VersionAddress,
    lessons: AsyncIterable<Lesson>,
    wish: ReportWish,
  ): Promise<ModelReport | ModelComparison> {
    const bar = await this.barOf(actor, wish);
    const model = await this.version(actor, address);
    if (wish.challenger === undefined) return reportOn([model], lessons, bar);
    const challenger = await this.version(actor, { code: address.code, version: wish.challenger });
    return compareModels(model, challenger, lessons, bar);
  }

  /**
   * When the service may speak for itself, as the newest version of a policy says on a day.
   * @param on local date, YYYY-MM-DD
   * @throws Refused `policy-missing`, `policy-invalid`
   */
  async bar(actor: Actor, policy: string, on: string): Promise<FindingBar> {
    const compiled = await this.db.inTenant(scopeOf(actor), (tx) => this.policies.byRef(tx, actor.tenant, policy));
    return findingBar(compiled, on);
  }

  private async version(actor: Actor, address: VersionAddress): Promise<EvidenceModel> {
    return (await this.models.read(actor, address)).body as EvidenceModel;
  }

  private async barOf(actor: Actor, { policy, on }: ReportWish): Promise<FindingBar | undefined> {
    if (policy === undefined && on === undefined) return undefined;
    if (policy === undefined || on === undefined) {
      const missing = policy === undefined ? 'policy' : 'on';
      throw new Invalid([{ pointer: `#/${missing}`, detail: 'Policy and day belong together; give both or neither.' }]);
    }
    return this.bar(actor, policy, on);
  }
}
