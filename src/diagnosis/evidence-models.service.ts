import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { Actor } from '../access/access.contract.js';
import type { Checklist } from '../inspections/inspections.contract.js';
import { InspectionsService } from '../inspections/inspections.service.js';
import { contentHash } from '../kernel/canonical-json.js';
import { Clock } from '../platform/clock.js';
import { Database } from '../platform/db/database.js';
import {
  DocumentLifecycle,
  type CheckedDocument,
  type ReadyVersion,
  type VersionAddress,
} from '../platform/documents/document-lifecycle.js';
import type { Page, PageQuery } from '../platform/http/pages.js';
import { Invalid, Refused } from '../platform/http/problems.js';
import type { VersionMatch } from '../platform/http/versions.js';
import { checkEvidenceModel } from './diagnosis.contract.js';
import type { EvidenceModelVersionRow } from './store/evidence-model-version.entity.js';
import { EvidenceModelVersionStore } from './store/evidence-model-version.store.js';

/** What a list says of a version; the document itself is left out. */
export type EvidenceModelVersionSummary = Omit<EvidenceModelVersionRow, 'body'>;

/** Versions of evidence models: drafted, changed, published by a second person. */
@Injectable()
export class EvidenceModelsService {
  private readonly lifecycle: DocumentLifecycle<EvidenceModelVersionRow>;

  constructor(
    db: Database,
    private readonly clock: Clock,
    private readonly inspections: InspectionsService,
    private readonly store: EvidenceModelVersionStore,
  ) {
    this.lifecycle = new DocumentLifecycle(db, clock, store, {
      name: 'evidence model',
      invalid: 'evidence-model-invalid',
      secondPerson: true,
      hands: ({ changedBy }) => [changedBy],
      check: async (tx, tenant, document) => checked(document, await this.checklistFor(tx, tenant, document)),
    });
  }

  /** One page of versions in order of code and number. */
  async list(actor: Actor, query: PageQuery): Promise<Page<EvidenceModelVersionRow>> {
    return this.lifecycle.list(actor, query);
  }

  /** @throws Refused `not-found` */
  async read(actor: Actor, address: VersionAddress): Promise<EvidenceModelVersionRow> {
    return this.lifecycle.read(actor, address);
  }

  /** Writes a new version as a draft. @throws Invalid `evidence-model-invalid` */
  async draft(actor: Actor, code: string, document: object): Promise<EvidenceModelVersionRow> {
    return this.lifecycle.draft(actor, code, document);
  }

  /** Changes a draft. @throws Invalid; Refused `already-published`, `version-changed` */
  async replace(
    actor: Actor,
    address: VersionAddress,
    match: VersionMatch,
    document: object,
  ): Promise<EvidenceModelVersionRow> {
    return this.lifecycle.replace(actor, address, match, document, { changedBy: actor.id });
  }

  /**
   * Publishes a draft that somebody else wrote and changed last, as the client has read it.
   * @param from UTC date from which it is taken, today at the earliest; absent: from now on
   * @throws Refused `same-person`; Invalid when the day has passed
   */
  async publish(
    actor: Actor,
    address: VersionAddress,
    match: VersionMatch,
    from?: string,
  ): Promise<EvidenceModelVersionRow> {
    if (from !== undefined && from < this.today()) {
      const detail = `${from} has passed. A model is in force from today at the earliest; leave the day out for now.`;
      throw new Invalid([{ pointer: '#/effectiveFrom', detail }]);
    }
    return this.lifecycle.publish(actor, address, match, from === undefined ? {} : { effectiveFrom: from });
  }

  /** Brings a published evidence model along; its checklist must be there first. @returns whether it was added */
  async load(tx: EntityManager, tenant: string, ready: ReadyVersion): Promise<boolean> {
    return this.lifecycle.load(tx, tenant, ready);
  }

  /** A published version. @param ref `code/version`, or `code` for the one in force today @throws Refused `evidence-model-not-published` */
  async published(tx: EntityManager, tenant: string, ref: string): Promise<EvidenceModelVersionRow> {
    const row = ref.includes('/')
      ? await this.store.publishedByRef(tx, tenant, ref)
      : await this.store.inForce(tx, tenant, ref, this.today());
    if (row === null) throw new Refused('evidence-model-not-published', `Publish the evidence model ${ref} first.`);
    return row;
  }

  private today(): string {
    return this.clock.now().toZonedDateTimeISO('UTC').toPlainDate().toString();
  }

  /** An evidence model is written for the checklist of the same code; where there is none it is checked by itself. */
  private async checklistFor(tx: EntityManager, tenant: string, document: object): Promise<Checklist | undefined> {
    if (!('id' in document) || typeof document.id !== 'string') return undefined;
    return this.inspections.findChecklist(tx, tenant, document.id);
  }
}

function checked(document: object, checklist: Checklist | undefined): CheckedDocument<EvidenceModelVersionRow> {
  const outcome = checkEvidenceModel(document, checklist);
  if (!outcome.ok) return { ok: false, faults: outcome.faults };
  return { ok: true, content: { title: outcome.value.title, body: document, hash: contentHash(document) } };
}
