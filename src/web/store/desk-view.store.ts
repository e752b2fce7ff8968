import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { OwnView } from '../domain/desk-data.js';

/** Whose views: a person of a tenant. */
export interface ViewOwner {
  readonly tenant: string;
  readonly person: string;
}

/** The views that people keep, in PostgreSQL. */
@Injectable()
export class DeskViewStore {
  /** In the order of their names. */
  of(tx: EntityManager, { tenant, person }: ViewOwner): Promise<OwnView[]> {
    return tx.query<OwnView[]>(
      'select id, name, view, find, ground from desk_view where tenant_id = $1 and person_id = $2 order by name, id',
      [tenant, person],
    );
  }

  /** Keeps a view; one of the same name gives way. @param at RFC 3339 */
  async keep(tx: EntityManager, { tenant, person }: ViewOwner, view: OwnView, at: string): Promise<void> {
    await tx.query('delete from desk_view where tenant_id = $1 and person_id = $2 and name = $3', [
      tenant,
      person,
      view.name,
    ]);
    await tx.query(
      `insert into desk_view (id, tenant_id, person_id, name, view, find, ground, kept_at)
       values ($1, $2, $3, $4, $5, $6, $7, $8)`,
      [view.id, tenant, person, view.name, view.view, view.find, view.ground, at],
    );
  }

  /** Forgets a view; one that is not there is forgotten already. */
  async forget(tx: EntityManager, { tenant, person }: ViewOwner, id: string): Promise<void> {
    await tx.query('delete from desk_view where tenant_id = $1 and person_id = $2 and id = $3', [tenant, person, id]);
  }
}
