import { openDB, type DBSchema, type IDBPDatabase } from 'idb';
import type { CrewPack } from '../../shared/crew-pack.js';
import type { PhoneFact, PhoneFactState } from '../../../inspections/phone-facts.contract.js';
import type { Lang } from '../../domain/walk-view.js';

/** A visit that this phone holds. */
export interface HeldVisit {
  readonly id: string;
  readonly pack: CrewPack;
  /** The secret of the link, sent as a bearer token; absent where somebody signed in. */
  readonly key?: string;
  readonly gotAt: number;
}

/** A fact as it happened here, and what the service made of it. */
export interface HeldFact extends PhoneFact {
  readonly visit: string;
  readonly sent?: PhoneFactState;
  readonly problem?: string;
}

/** A photo without its bytes, which lie apart so that lists stay light. Bytes go once the service has confirmed them. */
export interface HeldPhoto {
  readonly id: string;
  readonly visit: string;
  readonly inspection: string;
  readonly item: string;
  readonly shows: string;
  readonly type: string;
  readonly size: number;
  /** SHA-256 of the bytes, lower-case hex */
  readonly sha256: string;
  readonly at: number;
  /** When the camera took it, by the clock of this phone with its offset; absent where it came out of the gallery. */
  readonly takenAt?: string;
  /** A small JPEG; empty where the browser cannot open the photo. */
  readonly thumb: ArrayBuffer;
  readonly state: 'here' | 'sent' | 'confirmed' | 'withdrawn';
  /** The service had the same bytes under this id before. */
  readonly keptAs?: string;
  /** What the service says about its quality, or why it was refused. */
  readonly advice?: readonly { readonly en: string; readonly es?: string }[];
}

/** A claim that the crew has sent, whether it is through or not. */
export interface HeldClaim {
  readonly id: string;
  readonly visit: string;
  readonly inspection: string;
  readonly body: Readonly<Record<string, unknown>>;
  readonly at: number;
  readonly number?: string;
  readonly addedTo?: boolean;
}

export type OwedKind = 'fact' | 'claim' | 'photo' | 'withdraw' | 'confirm' | 'again';

/** Something that the service does not have yet. Lowest rank first. */
export interface OwedRow {
  readonly key: string;
  readonly kind: OwedKind;
  readonly rank: number;
  /** Id of the fact, claim or photo. */
  readonly ref: string;
  readonly visit: string;
  /** When it was kept; of one rank the oldest goes first. */
  readonly since: number;
  readonly tries: number;
  readonly nextAt: number;
  /** Status and sentence of the last refusal; status 0 where there was no line. */
  readonly trouble?: { readonly status: number; readonly code: string; readonly says: string };
}

/** What is remembered about the phone itself. */
export interface Settings {
  readonly phone: string;
  readonly lang: Lang;
  /** Milliseconds by which this clock runs ahead of the service's, from the Date of its last answer. */
  readonly aheadMs: number;
  /** A link that was opened without a signal. */
  readonly pendingLink: string;
  /** When storage was asked to be kept; 0 never. */
  readonly persistAskedAt: number;
  /** For tests: the longest pause before sending again, in milliseconds. */
  readonly longestPauseMs: number;
  readonly [counter: `n:${string}` | `last:${string}`]: number;
}

interface Schema extends DBSchema {
  visits: { key: string; value: HeldVisit };
  facts: { key: string; value: HeldFact; indexes: { visit: string } };
  photos: { key: string; value: HeldPhoto; indexes: { visit: string } };
  bytes: { key: string; value: ArrayBuffer };
  claims: { key: string; value: HeldClaim; indexes: { visit: string } };
  owed: { key: string; value: OwedRow };
  settings: { key: string; value: Settings[keyof Settings] };
}

export type Kept = IDBPDatabase<Schema>;

/** Every write waits until the disk has it: a killed browser must not take back what the screen said. */
export const STRICT = { durability: 'strict' } as const;

let opened: Promise<Kept> | undefined;

/** The phone's store. A connection that the system took away is opened again. */
export function database(): Promise<Kept> {
  opened ??= openDB<Schema>('as-noted-crew', 1, {
    upgrade(db) {
      db.createObjectStore('visits', { keyPath: 'id' });
      for (const name of ['facts', 'photos', 'claims'] as const)
        db.createObjectStore(name, { keyPath: 'id' }).createIndex('visit', 'visit');
      db.createObjectStore('owed', { keyPath: 'key' });
      db.createObjectStore('bytes');
      db.createObjectStore('settings');
    },
    blocking(_current, _blocked, event) {
      (event.target as IDBDatabase).close();
      opened = undefined;
    },
    terminated() {
      opened = undefined;
    },
  });
  opened.catch(() => (opened = undefined));
  return opened;
}

/** Runs work on the store, once more with a fresh connection where the old one was dead (iOS closes it now and then). */
export async function withStore<T>(work: (db: Kept) => Promise<T>): Promise<T> {
  try {
    return await work(await database());
  } catch (error) {
    const name = error instanceof Error ? error.name : '';
    if (name !== 'UnknownError' && name !== 'InvalidStateError') throw error;
    opened = undefined;
    return work(await database());
  }
}

/** One setting, or undefined. */
export async function setting<K extends keyof Settings>(name: K): Promise<Settings[K] | undefined> {
  return withStore(async (db) => (await db.get('settings', name)) as Settings[K] | undefined);
}

/** Remembers a setting. */
export async function remember<K extends keyof Settings>(name: K, value: Settings[K]): Promise<void> {
  await withStore((db) => db.put('settings', value, name));
}

/** Writes something and reads it back. @returns whether this browser keeps anything at all */
export async function keepsThings(): Promise<boolean> {
  try {
    const mark = Date.now();
    await remember('last:probe', mark);
    return (await setting('last:probe')) === mark;
  } catch {
    return false;
  }
}
