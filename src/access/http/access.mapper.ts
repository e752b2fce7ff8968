import type { Actor } from '../access.contract.js';
import type { ApiKeyRow, PersonRow } from '../store/access.entities.js';
import type { KeyBody, MeBody, PersonBody } from './access.dto.js';

/** A person without anything secret. */
export function toPersonBody(row: PersonRow): PersonBody {
  return {
    id: row.id,
    name: row.name,
    email: row.email,
    roles: row.roles,
    createdAt: row.createdAt,
    ...(row.retailerId === null ? {} : { retailer: row.retailerId }),
    ...(row.disabledAt === null ? {} : { disabledAt: row.disabledAt }),
  };
}

/** A key by its first letters. */
export function toKeyBody(row: ApiKeyRow): KeyBody {
  return {
    id: row.id,
    name: row.name,
    prefix: row.prefix,
    scopes: row.scopes,
    createdAt: row.createdAt,
    ...(row.retailerId === null ? {} : { retailer: row.retailerId }),
    ...(row.expiresAt === null ? {} : { expiresAt: row.expiresAt }),
    ...(row.endedAt === null ? {} : { endedAt: row.endedAt }),
    ...(row.lastUsedAt === null ? {} : { lastUsedAt: row.lastUsedAt }),
  };
}

export function toMeBody(actor: Actor): MeBody {
  const { kind, id, name, roles, retailer, visit, scopes } = actor;
  return {
    kind,
    id,
    name,
    roles,
    ...(retailer === undefined ? {} : { retailer }),
    ...(visit === undefined ? {} : { visit }),
    ...(scopes === undefined ? {} : { scopes }),
  };
}
