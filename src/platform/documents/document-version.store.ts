import { randomUUID } from 'node:crypto';
import { IsNull, type EntityManager, type FindOptionsWhere } from 'typeorm';
import type { QueryDeepPartialEntity } from 'typeorm/query-builder/QueryPartialEntity.js';
import type { DocumentVersionRow } from './document-version.entity.js';

/** Which version of which document. */
export interface DocumentKey {
  readonly tenant: string;
  readonly code: string;
  readonly version: number;
}

/** What a draft is made of, apart from its key. */
export interface DocumentContent {
  readonly title: string;
  readonly body: object;
  readonly hash: string;
}

export interface Draft extends DocumentKey, DocumentContent {
  /** uuid of the person who wrote it; null where the service brought it along */
  readonly author: string | null;
}

/** Who published and when. */
export interface Publication {
  /** uuid of the person */
  readonly by: string;
  readonly at: string;
}

/** Where the next page of a list begins: behind this version. */
export type DocumentPosition = Pick<DocumentKey, 'code' | 'version'>;

/** Versions of one kind of document in one table. Every query names the tenant; row-level security is the second wall. */
export class DocumentVersionStore<Row extends DocumentVersionRow> {
  constructor(private readonly entity: new () => Row) {}

  /** Versions in order of code and version, without their documents. */
  async page(
    tx: EntityManager,
    tenant: string,
    after: DocumentPosition | undefined,
    limit: number,
  ): Promise<readonly Row[]> {
    const columns = tx.connection
      .getMetadata(this.entity)
      .columns.map((column) => column.propertyName)
      .filter((name) => name !== 'body');
    const query = tx
      .createQueryBuilder(this.entity, 'v')
      .select(columns.map((name) => `v.${name}`))
      .where('v.tenantId = :tenant', { tenant });
    if (after) query.andWhere('(v.code, v.version) > (:code, :version)', after);
    return query.orderBy('v.code').addOrderBy('v.version').limit(limit).getMany();
  }

  async find(tx: EntityManager, key: DocumentKey): Promise<Row | null> {
    return tx.findOneBy(this.entity, this.where(key));
  }

  async newestPublished(tx: EntityManager, tenant: string, code: string): Promise<Row | null> {
    return tx
      .createQueryBuilder(this.entity, 'v')
      .where('v.tenantId = :tenant and v.code = :code and v.publishedAt is not null', { tenant, code })
      .orderBy('v.version', 'DESC')
      .limit(1)
      .getOne();
  }

  /** A published version. @param ref `code/version`, or `code` for the newest */
  async publishedByRef(tx: EntityManager, tenant: string, ref: string): Promise<Row | null> {
    const match = /^(.+)\/([1-9]\d{0,8})$/.exec(ref);
    if (match === null) return this.newestPublished(tx, tenant, ref);
    const row = await this.find(tx, { tenant, code: match[1] ?? '', version: Number(match[2]) });
    return row === null || row.publishedAt === null ? null : row;
  }

  /** The number for the next version of a document. Two authors at once wait for each other until the transaction ends. */
  async nextVersion(tx: EntityManager, tenant: string, code: string): Promise<number> {
    const table = tx.connection.getMetadata(this.entity).tableName;
    await tx.query(`select pg_advisory_xact_lock(hashtextextended($1, 0))`, [`${table} ${tenant} ${code}`]);
    const newest = await tx
      .createQueryBuilder(this.entity, 'v')
      .select('max(v.version)', 'version')
      .where('v.tenantId = :tenant and v.code = :code', { tenant, code })
      .getRawOne<{ version: number | null }>();
    return (newest?.version ?? 0) + 1;
  }

  /** @param more columns that only this kind of document has */
  async insert(tx: EntityManager, draft: Draft, more: Partial<Row> = {}): Promise<string> {
    const id = randomUUID();
    const { tenant, author, ...rest } = draft;
    const row = { ...more, ...rest, id, tenantId: tenant, createdBy: author };
    await tx.insert(this.entity, row as unknown as QueryDeepPartialEntity<Row>);
    return id;
  }

  /**
   * Replaces a draft when nobody changed or published it meanwhile.
   * @param more columns that only this kind of document has
   * @returns false when somebody did
   */
  async replace(
    tx: EntityManager,
    key: DocumentKey,
    edit: number,
    content: DocumentContent,
    more: Partial<Row> = {},
  ): Promise<boolean> {
    return this.change(tx, key, edit, { ...more, ...content, edit: edit + 1 });
  }

  /**
   * Publishes a draft when nobody changed or published it meanwhile.
   * @param more columns that only this kind of document has
   * @returns false when somebody did
   */
  async publish(
    tx: EntityManager,
    key: DocumentKey,
    edit: number,
    { by, at }: Publication,
    more: Partial<Row> = {},
  ): Promise<boolean> {
    return this.change(tx, key, edit, { ...more, publishedBy: by, publishedAt: at });
  }

  private async change(tx: EntityManager, key: DocumentKey, edit: number, values: object): Promise<boolean> {
    const where = { ...this.where(key), edit, publishedAt: IsNull() } as FindOptionsWhere<Row>;
    const { affected } = await tx.update(this.entity, where, values);
    return affected === 1;
  }

  private where(key: DocumentKey): FindOptionsWhere<Row> {
    return { tenantId: key.tenant, code: key.code, version: key.version } as FindOptionsWhere<Row>;
  }
}
