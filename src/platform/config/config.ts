import { join } from 'node:path';
import { PHOTO_SETTINGS, readPhotoSettings, type PhotoSettings } from './photo-settings.js';
import { projectRoot } from './project-root.js';
import { SettingsReader, type Environment } from './settings-reader.js';

export { projectRoot };

export type Mode = 'sample' | 'production' | 'test';
/** Which halves of the service this process runs: answering requests, working off jobs, or both. */
export type Runs = 'api' | 'worker' | 'both';

export const LOG_LEVELS = ['trace', 'debug', 'info', 'warn', 'error', 'fatal', 'silent'] as const;
export type LogLevel = (typeof LOG_LEVELS)[number];

/** In sample mode the terminal is for the person who tries the service; their way in must not scroll away under log lines. */
const DEFAULT_LOG_LEVELS: Readonly<Record<Mode, LogLevel>> = { sample: 'warn', production: 'info', test: 'silent' };

/** Upper bounds that every request and every credential lives under. */
export interface Limits {
  /** JSON and form bodies. */
  readonly bodyBytes: number;
  /** One photo or other uploaded file. */
  readonly uploadBytes: number;
  readonly pageSizeDefault: number;
  readonly pageSizeMax: number;
  /** Entries that a list parameter of a query may hold. */
  readonly listParameters: number;
}

/** Lengths of time after which a credential or a stored answer no longer counts. */
export interface Lifetimes {
  /** A session ends this long after sign-in, whatever happens. NIST SP 800-63B-4 (draft of 2023), AAL2: 12 hours. */
  readonly sessionHours: number;
  /** A session ends after this long without a request. NIST SP 800-63B-4 (draft of 2023), AAL2: 30 minutes. */
  readonly sessionIdleMinutes: number;
  readonly visitLinkHours: number;
  readonly idempotencyKeyHours: number;
}

/** Everything the service takes from its surroundings, read and checked once at start. */
export interface Config {
  readonly mode: Mode;
  readonly host: string;
  /** 0 lets the system choose. */
  readonly port: number;
  /** Connection string of the owner of the database; absent: the private server is started. */
  readonly databaseUrl?: string;
  /** Where the private server, uploaded originals and derived files live. */
  readonly stateDir: string;
  /** Origin under which people reach the service, without a slash at the end. Cookies are `Secure` when it is https. */
  readonly publicUrl: string;
  readonly runs: Runs;
  readonly logLevel: LogLevel;
  /** Database connections of the request side; the job side has its own, smaller set. */
  readonly poolSize: number;
  /** Milliseconds after which the database gives a statement up. */
  readonly statementTimeoutMs: number;
  /** Whether X-Forwarded-For of the peer is believed: set only behind a proxy that overwrites it. */
  readonly trustProxy: boolean;
  /** When set, /metrics asks for it as a bearer token. */
  readonly metricsToken?: string;
  readonly limits: Limits;
  readonly lifetimes: Lifetimes;
  readonly photos: PhotoSettings;
}

/** What is wrong with the surroundings: every fault as one sentence, all at once. */
export class ConfigFaults extends Error {
  constructor(readonly faults: readonly string[]) {
    super(`The service cannot start:\n${faults.map((fault) => `- ${fault}`).join('\n')}`);
    this.name = 'ConfigFaults';
  }
}

const KNOWN = new Set([
  ...PHOTO_SETTINGS,
  ...(
    'AS_NOTED_MODE AS_NOTED_STATE AS_NOTED_PUBLIC_URL AS_NOTED_RUNS AS_NOTED_LOG_LEVEL AS_NOTED_POOL_SIZE ' +
    'AS_NOTED_STATEMENT_TIMEOUT_MS AS_NOTED_TRUST_PROXY AS_NOTED_METRICS_TOKEN AS_NOTED_BODY_KIB AS_NOTED_UPLOAD_MIB ' +
    'AS_NOTED_SESSION_HOURS AS_NOTED_SESSION_IDLE_MINUTES AS_NOTED_VISIT_LINK_HOURS AS_NOTED_IDEMPOTENCY_HOURS'
  ).split(' '),
]);

/**
 * Reads the environment into a Config.
 * @param env usually `process.env`; nothing else in the service reads it
 * @throws ConfigFaults naming every fault, not only the first.
 */
export function loadConfig(env: Environment): Config {
  const read = new SettingsReader(env);
  const mode = read.oneOf('AS_NOTED_MODE', ['sample', 'production', 'test'] as const, 'sample');
  const host = read.text('HOST') ?? '127.0.0.1';
  const port = read.whole('PORT', { from: 0, to: 65_535, otherwise: 4310 });
  const databaseUrl = read.url('DATABASE_URL', ['postgres:', 'postgresql:']);
  const publicUrl = read.url('AS_NOTED_PUBLIC_URL', ['http:', 'https:']);
  const metricsToken = read.text('AS_NOTED_METRICS_TOKEN');
  if (mode === 'production') {
    if (databaseUrl === undefined) read.fault('DATABASE_URL must name the database in production mode.');
    if (publicUrl === undefined) {
      read.fault('AS_NOTED_PUBLIC_URL must say under which address people reach the service in production mode.');
    }
  }
  const config: Config = {
    mode,
    host,
    port,
    ...(databaseUrl === undefined ? {} : { databaseUrl: databaseUrl.href }),
    stateDir: read.text('AS_NOTED_STATE') ?? join(projectRoot(), '.state'),
    publicUrl: publicUrl === undefined ? `http://${host}:${port}` : publicUrl.origin,
    runs: read.oneOf('AS_NOTED_RUNS', ['api', 'worker', 'both'] as const, 'both'),
    logLevel: read.oneOf('AS_NOTED_LOG_LEVEL', LOG_LEVELS, DEFAULT_LOG_LEVELS[mode]),
    poolSize: read.whole('AS_NOTED_POOL_SIZE', { from: 1, to: 200, otherwise: 10 }),
    statementTimeoutMs: read.whole('AS_NOTED_STATEMENT_TIMEOUT_MS', { from: 100, to: 600_000, otherwise: 15_000 }),
    trustProxy: read.oneOf('AS_NOTED_TRUST_PROXY', ['yes', 'no'] as const, 'no') === 'yes',
    ...(metricsToken === undefined ? {} : { metricsToken }),
    limits: readLimits(read),
    lifetimes: readLifetimes(read),
    photos: readPhotoSettings(read),
  };
  read.unknownNames(KNOWN);
  if (read.faults.length > 0) throw new ConfigFaults(read.faults);
  return config;
}

function readLimits(read: SettingsReader): Limits {
  return {
    bodyBytes: read.whole('AS_NOTED_BODY_KIB', { from: 16, to: 65_536, otherwise: 1024 }) * 1024,
    uploadBytes: read.whole('AS_NOTED_UPLOAD_MIB', { from: 1, to: 1024, otherwise: 40 }) * 1024 * 1024,
    pageSizeDefault: 50,
    pageSizeMax: 200,
    listParameters: 50,
  };
}

function readLifetimes(read: SettingsReader): Lifetimes {
  return {
    sessionHours: read.whole('AS_NOTED_SESSION_HOURS', { from: 1, to: 24, otherwise: 12 }),
    sessionIdleMinutes: read.whole('AS_NOTED_SESSION_IDLE_MINUTES', { from: 1, to: 720, otherwise: 30 }),
    visitLinkHours: read.whole('AS_NOTED_VISIT_LINK_HOURS', { from: 1, to: 720, otherwise: 72 }),
    idempotencyKeyHours: read.whole('AS_NOTED_IDEMPOTENCY_HOURS', { from: 1, to: 720, otherwise: 24 }),
  };
}
