import type { EntityManager } from 'typeorm';
import type { Fault } from '../../kernel/outcome.js';
import type { Clock } from '../clock.js';
import type { Database } from '../db/database.js';
import { scopeOf, type Caller } from '../http/caller.js';
import { pageOf, pageSize, readCursor, type Page, type PageQuery } from '../http/pages.js';
import { Invalid, Refused, type ProblemCode } from '../http/problems.js';
import type { VersionMatch } from '../http/versions.js';
import type { DocumentVersionRow } from './document-version.entity.js';
import type { DocumentContent, DocumentKey, DocumentVersionStore } from './document-version.store.js';

/** What checking a document gives: what to keep of it, or every fault with a pointer into the document. */
export type CheckedDocument<Row> =
  | { readonly ok: true; readonly content: DocumentContent; readonly columns?: Partial<Row> }
  | { readonly ok: false; readonly faults: readonly Fault[] };

/** What differs between the kinds of documents. */
export interface DocumentKind<Row extends DocumentVersionRow> {
  /** For sentences: "checklist". */
  readonly name: string;
  /** Code of the refusal when a document has faults. */
  readonly invalid: ProblemCode;
  /** Whether somebody other than the author has to publish. */
  readonly secondPerson: boolean;
  /** Others who had a hand in a draft and may not publish it either; absent: none are kept. */
  hands?(row: Row): readonly (string | null)[];
  /**
   * @param document the document with its number in `version`
   * @param purpose what the answer decides; publication may demand more than a draft
   */
  check(
    tx: EntityManager,
    tenant: string,
    document: object,
    purpose: 'draft' | 'publication',
  ): Promise<CheckedDocument<Row>>;
}

/** A version that comes with the service or with sample data, published already. */
export interface ReadyVersion {
  readonly document: object & { readonly id: string; readonly version: number };
  /** uuids of two people of the tenant */
  readonly author: string;
  readonly publisher: string;
  /** RFC 3339 instant */
  readonly publishedAt: string;
}

/** Which version of a document of the caller's tenant. */
export type VersionAddress = Omit<DocumentKey, 'tenant'>;

/** How versions of a document come about: drafted, changed, published by the right person, never changed afterwards. */
export class DocumentLifecycle<Row extends DocumentVersionRow> {
  constructor(
    private readonly db: Database,
    private readonly clock: Clock,
    private readonly store: DocumentVersionStore<Row>,
    private readonly kind: DocumentKind<Row>,
  ) {}

  /** One page of versions, without their documents. */
  async list(caller: Caller, query: PageQuery): Promise<Page<Row>> {
    const size = pageSize(query);
    const key = readCursor(query, 'tn');
    const after = key && { code: String(key[0]), version: Number(key[1]) };
    const rows = await this.db.inTenant(scopeOf(caller), (tx) => this.store.page(tx, caller.tenant, after, size + 1));
    return pageOf(
      rows,
      size,
      (row) => [row.code, row.version],
      (row) => row,
    );
  }

  /** @throws Refused `not-found` */
  async read(caller: Caller, address: VersionAddress): Promise<Row> {
    return this.db.inTenant(scopeOf(caller), (tx) => this.demand(tx, { ...address, tenant: caller.tenant }));
  }

  /**
   * Writes a new version as a draft. The service numbers versions; a number inside the document is replaced.
   * @param more columns beside the document
   * @throws Invalid with every fault; Refused `not-allowed` when the caller is no person
   */
  async draft(caller: Caller, code: string, document: object, more: Partial<Row> = {}): Promise<Row> {
    const author = this.personOf(caller);
    this.demandCode(code, document);
    return this.db.inTenant(scopeOf(caller), async (tx) => {
      const version = await this.store.nextVersion(tx, caller.tenant, code);
      const key = { tenant: caller.tenant, code, version };
      const checked = await this.demandSound(tx, key, document);
      await this.store.insert(tx, { ...key, ...checked.content, author }, { ...more, ...checked.columns });
      return this.demand(tx, key);
    });
  }

  /**
   * Changes a draft that nobody changed since the client read it.
   * @param more columns beside the document
   * @throws Invalid; Refused `already-published`, `version-changed`
   */
  async replace(
    caller: Caller,
    address: VersionAddress,
    match: VersionMatch,
    document: object,
    more: Partial<Row> = {},
  ): Promise<Row> {
    this.personOf(caller);
    this.demandCode(address.code, document);
    const key = { ...address, tenant: caller.tenant };
    return this.db.inTenant(scopeOf(caller), async (tx) => {
      const row = await this.demandDraft(tx, key, match);
      const checked = await this.demandSound(tx, key, document);
      this.demandDone(await this.store.replace(tx, key, row.edit, checked.content, more));
      return this.demand(tx, key);
    });
  }

  /**
   * Publishes a draft as the client has read it. It is checked again, because what it refers to may have changed.
   * @param match absent where drafts cannot be edited
   * @param more columns beside the document
   * @throws Refused `same-person`, `already-published`, `version-changed`
   */
  async publish(caller: Caller, address: VersionAddress, match?: VersionMatch, more: Partial<Row> = {}): Promise<Row> {
    const by = this.personOf(caller);
    const key = { ...address, tenant: caller.tenant };
    return this.db.inTenant(scopeOf(caller), async (tx) => {
      const found = await this.demand(tx, key);
      // Before anything that can change meanwhile, so that an author gets the same answer however a race ends.
      if (this.kind.secondPerson && found.createdBy === by) {
        throw new Refused('same-person', `You wrote this ${this.kind.name}. Ask a second person to publish it.`);
      }
      if (this.kind.hands?.(found).includes(by) === true) {
        throw new Refused(
          'same-person',
          `You changed this ${this.kind.name} last. Let its author look at it and save it, or ask a third person to publish it.`,
        );
      }
      const row = this.stillDraft(found, match);
      await this.demandSound(tx, key, row.body, 'publication');
      const publication = { by, at: this.clock.now().toString() };
      this.demandDone(await this.store.publish(tx, key, row.edit, publication, more));
      return this.demand(tx, key);
    });
  }

  /**
   * Brings a published version along, keeping its number. A version that is there already stays as it is.
   * @returns whether it was added
   * @throws Invalid when the document has faults
   */
  async load(tx: EntityManager, tenant: string, ready: ReadyVersion, more: Partial<Row> = {}): Promise<boolean> {
    const key = { tenant, code: ready.document.id, version: ready.document.version };
    if ((await this.store.find(tx, key)) !== null) return false;
    const checked = await this.demandSound(tx, key, ready.document, 'publication');
    await this.store.insert(tx, { ...key, ...checked.content, author: ready.author }, { ...more, ...checked.columns });
    this.demandDone(await this.store.publish(tx, key, 1, { by: ready.publisher, at: ready.publishedAt }));
    return true;
  }

  private personOf(caller: Caller): string {
    if (caller.kind === 'person') return caller.id;
    throw new Refused('not-allowed', `Only a person who is signed in can write or publish a ${this.kind.name}.`);
  }

  private demandCode(code: string, document: object): void {
    if ('id' in document && document.id === code) return;
    throw new Invalid([
      { pointer: '#/document/id', detail: `The id of the document must be ${code}, as in the address.` },
    ]);
  }

  private async demand(tx: EntityManager, key: DocumentKey): Promise<Row> {
    const row = await this.store.find(tx, key);
    if (row === null) throw new Refused('not-found', `There is no version ${key.version} of that ${this.kind.name}.`);
    return row;
  }

  private async demandDraft(tx: EntityManager, key: DocumentKey, match: VersionMatch | undefined): Promise<Row> {
    return this.stillDraft(await this.demand(tx, key), match);
  }

  private stillDraft(row: Row, match: VersionMatch | undefined): Row {
    if (row.publishedAt !== null) {
      throw new Refused('already-published', `Write a new version of the ${this.kind.name} instead.`);
    }
    match?.demand(row.edit);
    return row;
  }

  private async demandSound(
    tx: EntityManager,
    key: DocumentKey,
    document: object,
    purpose: 'draft' | 'publication' = 'draft',
  ): Promise<CheckedDocument<Row> & { readonly ok: true }> {
    const checked = await this.kind.check(tx, key.tenant, { ...document, version: key.version }, purpose);
    if (checked.ok) return checked;
    const faults = checked.faults.map((fault) => ({ ...fault, pointer: fault.pointer.replace(/^#/, '#/document') }));
    throw new Invalid(faults, this.kind.invalid);
  }

  private demandDone(done: boolean): void {
    if (!done)
      throw new Refused('version-changed', 'Somebody else changed or published it at the same moment. Read it again.');
  }
}
