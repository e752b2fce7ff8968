import { Controller, Get, Param } from '@nestjs/common';
import { ApiExcludeController } from '@nestjs/swagger';
import { may, type Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { PeopleService } from '../../access/people.service.js';
import type { EvidenceModel } from '../../diagnosis/diagnosis.contract.js';
import { EvidenceModelsService, type EvidenceModelVersionSummary } from '../../diagnosis/evidence-models.service.js';
import { LearningService } from '../../diagnosis/learning.service.js';
import { ChecklistsService } from '../../inspections/checklists.service.js';
import type { Checklist } from '../../inspections/inspections.contract.js';
import { Clock } from '../../platform/clock.js';
import { VersionParam } from '../../platform/documents/version.pipe.js';
import { Refused } from '../../platform/http/problems.js';
import { PoliciesService } from '../../policies/policies.service.js';
import type {
  ModelData,
  ModelLine,
  ModelRights,
  ModelsData,
  ModelVersionLine,
  PolicyBar,
} from '../domain/desk-models.js';

/** Versions read at a time. */
const PAGE = 200;
/** Policies whose bar the page offers. */
const MOST_BARS = 12;

/** Evidence models as the desk shows them, with names beside ids and what a page needs beside the document. */
@ApiExcludeController()
@Controller('desk-data/models')
export class DeskModelsController {
  constructor(
    private readonly models: EvidenceModelsService,
    private readonly checklists: ChecklistsService,
    private readonly policies: PoliciesService,
    private readonly learning: LearningService,
    private readonly people: PeopleService,
    private readonly clock: Clock,
  ) {}

  @Get()
  @Needs('policy.read')
  async list(@CurrentActor() actor: Actor): Promise<ModelsData> {
    const versions = await this.versions(actor);
    const codes = [...new Set(versions.map(({ code }) => code))];
    const models = await Promise.all(codes.map((code) => this.line(actor, code, versions)));
    return { models, rights: rightsOf(actor) };
  }

  @Get(':code/:version')
  @Needs('policy.read')
  async read(
    @CurrentActor() actor: Actor,
    @Param('code') code: string,
    @VersionParam() version: number,
  ): Promise<ModelData> {
    const row = await this.models.read(actor, { code, version });
    const lines = (await this.versions(actor)).filter((one) => one.code === code);
    const line = lines.find((one) => one.version === version);
    if (line === undefined) throw new Refused('not-found', 'There is no such version.');
    const today = this.today();
    const held = inForceOf(lines, today);
    return {
      line,
      edit: row.edit,
      document: documentOf(row.body),
      checklist: await this.checklistFor(actor, code),
      inForce:
        held === null || held === version
          ? null
          : { version: held, document: documentOf((await this.models.read(actor, { code, version: held })).body) },
      bars: await this.bars(actor, today),
      others: lines.map(({ version: number, state }) => ({ version: number, state })),
      rights: rightsOf(actor),
      today,
    };
  }

  private today(): string {
    return this.clock.now().toZonedDateTimeISO('UTC').toPlainDate().toString();
  }

  /** Every version, the newest of each model first. */
  private async versions(actor: Actor): Promise<ModelVersionLine[]> {
    const names = await this.people.staffNames(actor);
    const lines: ModelVersionLine[] = [];
    for (let cursor: string | undefined; ;) {
      const page = await this.models.list(actor, { limit: PAGE, ...(cursor === undefined ? {} : { cursor }) });
      lines.push(...page.items.map((row) => lineOf(row, names, actor)));
      if (page.next === undefined) return lines.toSorted((a, b) => b.version - a.version);
      cursor = page.next;
    }
  }

  private async line(actor: Actor, code: string, all: readonly ModelVersionLine[]): Promise<ModelLine> {
    const versions = all.filter((one) => one.code === code);
    const inForce = inForceOf(versions, this.today());
    const version = inForce ?? versions[0]?.version ?? 1;
    const { family, basis, explanations, observations } = documentOf(
      (await this.models.read(actor, { code, version })).body,
    );
    return {
      code,
      family,
      basis,
      explanations: explanations.length,
      observations: observations.length,
      inForce,
      versions,
    };
  }

  /** The newest published checklist of a code. */
  private async checklistFor(actor: Actor, code: string): Promise<Checklist | null> {
    const { items } = await this.checklists.list(actor, { limit: PAGE });
    const version = Math.max(
      0,
      ...items.filter((one) => one.code === code && one.publishedAt !== null).map((one) => one.version),
    );
    if (version === 0) return null;
    // Checked when it was written.
    return (await this.checklists.read(actor, { code, version })).body as Checklist;
  }

  /** The bars of the policies that are published, one by code. */
  private async bars(actor: Actor, today: string): Promise<PolicyBar[]> {
    const { items } = await this.policies.list(actor, { limit: PAGE });
    const titles = new Map(
      items.filter(({ publishedAt }) => publishedAt !== null).map(({ code, title }) => [code, title] as const),
    );
    const bars = await Promise.all(
      [...titles].slice(0, MOST_BARS).map(async ([policy, title]): Promise<PolicyBar[]> => {
        try {
          return [{ policy, title, bar: await this.learning.bar(actor, policy, today) }];
        } catch (error) {
          // A policy without a bar today has none to offer.
          if (error instanceof Refused) return [];
          throw error;
        }
      }),
    );
    return bars.flat();
  }
}

/** The newest published version that has begun. */
function inForceOf(versions: readonly ModelVersionLine[], today: string): number | null {
  const begun = ({ state, effectiveFrom }: ModelVersionLine): boolean =>
    state === 'published' && (effectiveFrom ?? today) <= today;
  return versions.find(begun)?.version ?? null;
}

function rightsOf(actor: Actor): ModelRights {
  return { edit: may(actor, 'model.edit'), publish: may(actor, 'model.publish') };
}

function lineOf(
  row: EvidenceModelVersionSummary,
  names: Readonly<Record<string, string>>,
  actor: Actor,
): ModelVersionLine {
  const named = (id: string | null): string | null => (id === null ? null : (names[id] ?? null));
  return {
    code: row.code,
    version: row.version,
    title: row.title,
    state: row.publishedAt === null ? 'draft' : 'published',
    createdAt: row.createdAt,
    createdBy: named(row.createdBy),
    publishedAt: row.publishedAt,
    publishedBy: named(row.publishedBy),
    effectiveFrom: row.effectiveFrom,
    changedBy: named(row.changedBy),
    own: row.createdBy === actor.id,
    ownChange: row.changedBy === actor.id,
  };
}

/** Checked when it was written. */
function documentOf(body: object): EvidenceModel {
  return body as EvidenceModel;
}
