import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { Actor } from '../access/access.contract.js';
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
import { Refused } from '../platform/http/problems.js';
import type { VersionMatch } from '../platform/http/versions.js';
import { checkChecklist, type Checklist } from './inspections.contract.js';
import type { ChecklistVersionRow } from './store/checklist-version.entity.js';
import { ChecklistVersionStore } from './store/checklist-version.store.js';

/** A published checklist and the uuid of its version. */
export interface PublishedChecklist {
  readonly id: string;
  readonly hash: string;
  readonly checklist: Checklist;
}

/** Versions of checklists: drafted, changed, published once and never changed again. */
@Injectable()
export class ChecklistsService {
  private readonly lifecycle: DocumentLifecycle<ChecklistVersionRow>;

  constructor(
    db: Database,
    clock: Clock,
    private readonly store: ChecklistVersionStore,
  ) {
    this.lifecycle = new DocumentLifecycle(db, clock, store, {
      name: 'checklist',
      invalid: 'checklist-invalid',
      secondPerson: false,
      check: async (_tx, _tenant, document) => checked(document),
    });
  }

  /** One page of versions in order of code and number. */
  async list(actor: Actor, query: PageQuery): Promise<Page<ChecklistVersionRow>> {
    return this.lifecycle.list(actor, query);
  }

  /** @throws Refused `not-found` */
  async read(actor: Actor, address: VersionAddress): Promise<ChecklistVersionRow> {
    return this.lifecycle.read(actor, address);
  }

  /** Writes a new version as a draft. @throws Invalid `checklist-invalid` */
  async draft(actor: Actor, code: string, document: object): Promise<ChecklistVersionRow> {
    return this.lifecycle.draft(actor, code, document);
  }

  /** Changes a draft. @throws Invalid; Refused `already-published`, `version-changed` */
  async replace(
    actor: Actor,
    address: VersionAddress,
    match: VersionMatch,
    document: object,
  ): Promise<ChecklistVersionRow> {
    return this.lifecycle.replace(actor, address, match, document);
  }

  /** Publishes a draft as the client has read it. */
  async publish(actor: Actor, address: VersionAddress, match: VersionMatch): Promise<ChecklistVersionRow> {
    return this.lifecycle.publish(actor, address, match);
  }

  /** Brings a published checklist along. @returns whether it was added */
  async load(tx: EntityManager, tenant: string, ready: ReadyVersion): Promise<boolean> {
    return this.lifecycle.load(tx, tenant, ready);
  }

  /**
   * A published checklist.
   * @param ref `code/version`, or `code` for the newest
   * @throws Refused `checklist-not-published`
   */
  async published(tx: EntityManager, tenant: string, ref: string): Promise<PublishedChecklist> {
    const found = await this.findPublished(tx, tenant, ref);
    if (found === undefined) throw new Refused('checklist-not-published', `Publish the checklist ${ref} first.`);
    return found;
  }

  /** A published checklist, where there is one. @param ref `code/version`, or `code` for the newest */
  async findPublished(tx: EntityManager, tenant: string, ref: string): Promise<PublishedChecklist | undefined> {
    const row = await this.store.publishedByRef(tx, tenant, ref);
    return row === null ? undefined : publishedOf(row);
  }

  /** The checklist of an inspection. @param id uuid of the version */
  async byId(tx: EntityManager, tenant: string, id: string): Promise<PublishedChecklist> {
    const row = await this.store.byId(tx, tenant, id);
    if (row === null) throw new Error(`checklist version ${id} is gone, although inspections point to it`);
    return publishedOf(row);
  }
}

function publishedOf(row: ChecklistVersionRow): PublishedChecklist {
  // Checked when it was written, and never changed since it was published.
  return { id: row.id, hash: row.hash, checklist: row.body as Checklist };
}

function checked(document: object): CheckedDocument<ChecklistVersionRow> {
  const outcome = checkChecklist(document);
  if (!outcome.ok) return { ok: false, faults: outcome.faults };
  return { ok: true, content: { title: outcome.value.title.en, body: document, hash: contentHash(document) } };
}
