import { Injectable, type OnApplicationShutdown } from '@nestjs/common';
import pg from 'pg';
import type { Config } from '../config/config.js';
import { InjectConfig } from '../config/inject-config.js';
import { InjectLog } from '../telemetry/inject-log.js';
import type { Log } from '../telemetry/log.js';
import { APP_ROLE, underRole } from './data-source.js';

/** Something changed. Whoever hears it reads the thing anew, with the rights that they have. */
export interface Change {
  readonly kind: string;
  /** uuid; of checklists and models of the catalogue their code */
  readonly id: string;
}

type Hear = (change: Change) => void;

const CHANNEL = 'as_noted_change';
const RECONNECT_MS = 2_000;

/** Hears what the database tells of changes, also those that other processes made, over one connection of its own. */
@Injectable()
export class Changes implements OnApplicationShutdown {
  private readonly listeners = new Map<string, Set<Hear>>();
  private client: pg.Client | undefined;
  private stopped = false;

  constructor(
    @InjectConfig() private readonly config: Config,
    @InjectLog() private readonly log: Log,
  ) {}

  /** Hears changes of one tenant until the function that is returned is called. @param tenant uuid */
  hear(tenant: string, listener: Hear): () => void {
    const own = this.listeners.get(tenant) ?? new Set();
    this.listeners.set(tenant, own.add(listener));
    // Nobody listens while no desk is open, so that the connection is made by the first.
    if (this.client === undefined) void this.connect();
    return () => {
      own.delete(listener);
      if (own.size === 0 && this.listeners.get(tenant) === own) this.listeners.delete(tenant);
    };
  }

  async onApplicationShutdown(): Promise<void> {
    this.stopped = true;
    await this.client?.end().catch(() => undefined);
  }

  private async connect(): Promise<void> {
    const client = new pg.Client({
      connectionString: underRole(this.config.databaseUrl ?? '', APP_ROLE),
      application_name: 'as-noted changes',
      keepAlive: true,
    });
    this.client = client;
    client.on('notification', ({ payload }) => this.tell(payload ?? ''));
    client.on('error', (error) => this.log.warn({ error: error.message }, 'the line that tells changes broke'));
    client.on('end', () => this.again(client));
    try {
      await client.connect();
      await client.query(`listen ${CHANNEL}`);
    } catch (error) {
      this.log.warn({ error: error instanceof Error ? error.message : String(error) }, 'changes cannot be heard');
      await client.end().catch(() => undefined);
      this.again(client);
    }
  }

  /** Once per client: both a failed start and a broken line end here. */
  private again(client: pg.Client): void {
    if (this.stopped || this.client !== client) return;
    this.client = undefined;
    setTimeout(() => {
      if (!this.stopped && this.client === undefined && this.listeners.size > 0) void this.connect();
    }, RECONNECT_MS).unref();
  }

  private tell(payload: string): void {
    const [tenant = '', kind = '', id = ''] = payload.split(' ');
    for (const listener of this.listeners.get(tenant) ?? []) listener({ kind, id });
  }
}
