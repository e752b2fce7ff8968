import { AsyncLocalStorage } from 'node:async_hooks';
import { setTimeout as pause } from 'node:timers/promises';
import { Injectable, type OnApplicationShutdown, type OnModuleInit } from '@nestjs/common';
import type { Pool, QueryResult } from 'pg';
import { DataSource, type EntityManager } from 'typeorm';
import { APP_ROLE } from './data-source.js';
import { isWorthRetrying } from './database-errors.js';

/** Whose rows a transaction may see. Each narrower field shrinks what is visible further. */
export interface Scope {
  /** uuid */
  readonly tenant: string;
  /** uuid: only this retailer's rows */
  readonly retailer?: string;
  /** uuid: only this visit's rows */
  readonly visit?: string;
}

export type Work<T> = (tx: EntityManager) => Promise<T>;

/** Tables that hold secrets by their hashes. */
export type SecretPlace =
  | { readonly table: 'session' | 'visit_link'; readonly column: 'token_hash' }
  | { readonly table: 'api_key'; readonly column: 'key_hash' };

interface Ambient {
  readonly tx: EntityManager;
  readonly scope: Scope;
  open: boolean;
}

const RETRIES = 3;

/**
 * The one door to the database. Every statement runs inside a transaction whose scope row-level security reads, so a
 * forgotten `where tenant_id =` shows nothing instead of everything.
 */
@Injectable()
export class Database implements OnModuleInit, OnApplicationShutdown {
  private readonly ambient = new AsyncLocalStorage<Ambient>();

  constructor(private readonly source: DataSource) {}

  /** Connects. @throws Error when the connection is not under the application role, where row-level security might not bind. */
  async onModuleInit(): Promise<void> {
    if (!this.source.isInitialized) await this.source.initialize();
    const [row] = await this.source.query<{ current_user: string }[]>('select current_user');
    if (row?.current_user !== APP_ROLE) {
      throw new Error(`the database connection runs as ${row?.current_user ?? 'nobody'}, not as ${APP_ROLE}`);
    }
  }

  async onApplicationShutdown(): Promise<void> {
    if (this.source.isInitialized) await this.source.destroy();
  }

  /**
   * Runs work in a transaction that sees only the scope's rows. Joins the transaction that is already open in this call
   * chain when the scope is the same. When it opens the transaction itself, serialisation failures and deadlocks are run
   * again up to three times, so work must not have effects outside the database.
   * @throws Error when a transaction of another scope is open in this call chain; see `widened`.
   */
  async inTenant<T>(scope: Scope, work: Work<T>): Promise<T> {
    const open = this.openTransaction();
    if (open === undefined) return this.own(scope, work);
    if (!sameScope(open.scope, scope)) throw new Error('a transaction with another scope is open');
    return work(open.tx);
  }

  /**
   * Inside an open transaction, lets one step see the whole tenant: for what the service itself must read or write on behalf
   * of somebody who may see only a part. Steps inside one transaction run one after another, never side by side.
   */
  async widened<T>(tx: EntityManager, work: Work<T>): Promise<T> {
    const open = this.openTransaction();
    if (open === undefined || open.tx !== tx) throw new Error('widened needs the transaction that is open');
    const wide: Ambient = { tx, scope: { tenant: open.scope.tenant }, open: true };
    await setScope(tx, wide.scope);
    try {
      return await this.ambient.run(wide, () => work(tx));
    } finally {
      wide.open = false;
      // In a transaction that has failed already this fails as well; then nothing more can be read anyway.
      await setScope(tx, open.scope).catch(() => undefined);
    }
  }

  /**
   * Runs work that looks a credential up before the tenant is known. Sees only rows that hold this credential.
   * @param credential lower-case hex of a secret's SHA-256, or an e-mail address in lower case
   */
  async byCredential<T>(credential: string, work: Work<T>): Promise<T> {
    if (this.openTransaction() !== undefined) throw new Error('a transaction with another scope is open');
    return this.retrying(() =>
      this.source.transaction(async (tx) => {
        await tx.query(`select set_config('app.credential', $1, true)`, [credential]);
        return work(tx);
      }),
    );
  }

  /**
   * Looks a secret up and reads what stands behind it in its tenant, all in one round trip, because every request does it.
   * @param hash SHA-256 of the secret
   * @param at where secrets of this kind are kept
   * @param select a query in which `:hash` stands for the hash; it runs in the secret's tenant
   * @returns the first row, or undefined when there is no such secret
   */
  async behind<T>(hash: Uint8Array, at: SecretPlace, select: string): Promise<T | undefined> {
    // Several statements at once cannot take parameters. The only value put into the text is hexadecimal by construction.
    const hex = Buffer.from(hash).toString('hex');
    const literal = `'\\x${hex}'::bytea`;
    const statements = [
      'begin read only',
      `select set_config('app.credential', '${hex}', true)`,
      `select set_config('app.tenant', coalesce((select tenant_id::text from ${at.table} where ${at.column} = ${literal}), ''), true)`,
      select.replaceAll(':hash', literal),
      'commit',
    ];
    const pool = (this.source.driver as unknown as { readonly master: Pool }).master;
    // When a statement fails, the pool throws the connection away, and the open transaction with it.
    const results = (await pool.query(statements.join(';'))) as unknown as readonly QueryResult[];
    return results[3]?.rows[0] as T | undefined;
  }

  /** Narrows or sets the scope of a transaction opened by `byCredential`, once the credential has told the tenant. */
  async enter(tx: EntityManager, scope: Scope): Promise<void> {
    await setScope(tx, scope);
  }

  /** Work outside every tenant: only tables without a wall (throttling, the migration list) can be read. */
  async outside<T>(work: Work<T>): Promise<T> {
    return this.retrying(() => this.source.transaction(work));
  }

  /** Runs a part of the open transaction so that its failure undoes only that part (a savepoint). */
  async attempt<T>(tx: EntityManager, work: Work<T>): Promise<T> {
    return tx.transaction(work);
  }

  /** @throws Error when the database does not answer. */
  async ping(): Promise<void> {
    await this.source.query('select 1');
  }

  /** Connections in use, idle and waited for: a gauge, not a decision. */
  poolCounts(): { readonly total: number; readonly idle: number; readonly waiting: number } {
    const pool = (this.source.driver as unknown as { master?: Record<string, number> }).master;
    return { total: pool?.['totalCount'] ?? 0, idle: pool?.['idleCount'] ?? 0, waiting: pool?.['waitingCount'] ?? 0 };
  }

  private own<T>(scope: Scope, work: Work<T>): Promise<T> {
    return this.retrying(() =>
      this.source.transaction(async (tx) => {
        const ambient: Ambient = { tx, scope, open: true };
        await setScope(tx, scope);
        try {
          return await this.ambient.run(ambient, () => work(tx));
        } finally {
          ambient.open = false;
        }
      }),
    );
  }

  /** A call that outlives its transaction must not write through the closed one. */
  private openTransaction(): Ambient | undefined {
    const ambient = this.ambient.getStore();
    return ambient?.open === true ? ambient : undefined;
  }

  private async retrying<T>(run: () => Promise<T>): Promise<T> {
    for (let tries = 0; ; tries += 1) {
      try {
        return await run();
      } catch (error) {
        if (tries >= RETRIES || !isWorthRetrying(error)) throw error;
        await pause(5 * 2 ** tries + Math.random() * 10);
      }
    }
  }
}

async function setScope(tx: EntityManager, scope: Scope): Promise<void> {
  await tx.query(
    `select set_config('app.tenant', $1, true), set_config('app.retailer', $2, true), set_config('app.visit', $3, true)`,
    [scope.tenant, scope.retailer ?? '', scope.visit ?? ''],
  );
}

function sameScope(a: Scope, b: Scope): boolean {
  return a.tenant === b.tenant && a.retailer === b.retailer && a.visit === b.visit;
}
