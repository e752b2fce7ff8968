import { Column, Entity, PrimaryColumn } from 'typeorm';
import type { Role } from '../../kernel/vocabulary.js';
import { instantText } from '../../platform/db/column-transformers.js';

/** A delivery and claims business whose data stands alone. */
@Entity('tenant')
export class TenantRow {
  @PrimaryColumn('uuid')
  id: string;

  @Column('text')
  name: string;

  /** Invented data with known passwords: production refuses its sign-ins. */
  @Column('boolean', { default: false })
  sample: boolean;

  @Column('timestamptz', { default: () => 'now()', transformer: instantText })
  createdAt: string;
}

/** Somebody who can sign in. */
@Entity('person')
export class PersonRow {
  @PrimaryColumn('uuid', { default: () => 'gen_random_uuid()' })
  id: string;

  @Column('uuid')
  tenantId: string;

  @Column('uuid', { nullable: true })
  retailerId: string | null;

  @Column('text')
  name: string;

  @Column('text', { unique: true })
  email: string;

  @Column('text')
  passwordHash: string;

  @Column('text', { array: true })
  roles: Role[];

  @Column('timestamptz', { default: () => 'now()', transformer: instantText })
  createdAt: string;

  @Column('timestamptz', { nullable: true, transformer: instantText })
  disabledAt: string | null;
}

/** A sign-in that still counts, or counted once. */
@Entity('session')
export class SessionRow {
  @PrimaryColumn('bytea')
  tokenHash: Buffer;

  @Column('uuid')
  tenantId: string;

  @Column('uuid')
  personId: string;

  @Column('timestamptz', { default: () => 'now()', transformer: instantText })
  createdAt: string;

  @Column('timestamptz', { default: () => 'now()', transformer: instantText })
  lastSeenAt: string;

  @Column('timestamptz', { transformer: instantText })
  expiresAt: string;

  @Column('timestamptz', { nullable: true, transformer: instantText })
  endedAt: string | null;
}

/** A key for another program. */
@Entity('api_key')
export class ApiKeyRow {
  @PrimaryColumn('uuid', { default: () => 'gen_random_uuid()' })
  id: string;

  @Column('uuid')
  tenantId: string;

  @Column('uuid', { nullable: true })
  retailerId: string | null;

  @Column('text')
  name: string;

  /** The first characters of the key, by which people recognise it. */
  @Column('text')
  prefix: string;

  @Column('bytea', { unique: true })
  keyHash: Buffer;

  @Column('text', { array: true })
  scopes: string[];

  @Column('uuid')
  createdBy: string;

  @Column('timestamptz', { default: () => 'now()', transformer: instantText })
  createdAt: string;

  @Column('timestamptz', { nullable: true, transformer: instantText })
  expiresAt: string | null;

  @Column('timestamptz', { nullable: true, transformer: instantText })
  endedAt: string | null;

  @Column('timestamptz', { nullable: true, transformer: instantText })
  lastUsedAt: string | null;
}

/** What lets one crew into one visit. */
@Entity('visit_link')
export class VisitLinkRow {
  @PrimaryColumn('uuid', { default: () => 'gen_random_uuid()' })
  id: string;

  @Column('uuid')
  tenantId: string;

  @Column('uuid')
  visitId: string;

  @Column('bytea', { unique: true })
  tokenHash: Buffer;

  @Column('text')
  crewName: string;

  @Column('text')
  createdBy: string;

  @Column('timestamptz', { default: () => 'now()', transformer: instantText })
  createdAt: string;

  @Column('timestamptz', { transformer: instantText })
  expiresAt: string;

  @Column('timestamptz', { nullable: true, transformer: instantText })
  endedAt: string | null;
}

export const ACCESS_ENTITIES = [TenantRow, PersonRow, SessionRow, ApiKeyRow, VisitLinkRow] as const;
