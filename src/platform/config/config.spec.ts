import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { ConfigFaults, loadConfig } from './config.js';
import { projectRoot } from './project-root.js';

describe('the configuration', () => {
  it('needs nothing in sample mode and has the documented defaults', () => {
    const config = loadConfig({});
    expect(config.mode).toBe('sample');
    expect(config.databaseUrl).toBeUndefined();
    expect(config.limits).toEqual({
      bodyBytes: 1_048_576,
      uploadBytes: 41_943_040,
      pageSizeDefault: 50,
      pageSizeMax: 200,
      listParameters: 50,
    });
    // NIST SP 800-63B, AAL2: 12 hours, or 30 minutes without activity.
    expect(config.lifetimes).toMatchObject({ sessionHours: 12, sessionIdleMinutes: 30, visitLinkHours: 72 });
    expect(config.publicUrl).toBe('http://127.0.0.1:4310');
  });

  it('keeps the terminal quiet in sample mode and logs every request in production', () => {
    expect(loadConfig({}).logLevel).toBe('warn');
    const production = {
      AS_NOTED_MODE: 'production',
      DATABASE_URL: 'postgres://h/d',
      AS_NOTED_PUBLIC_URL: 'https://claims.example',
    };
    expect(loadConfig(production).logLevel).toBe('info');
    expect(loadConfig({ AS_NOTED_LOG_LEVEL: 'debug' }).logLevel).toBe('debug');
  });

  it('names every fault at once, in sentences', () => {
    const faults = faultsOf({
      AS_NOTED_MODE: 'prod',
      PORT: '99999',
      DATABASE_URL: 'mysql://u:secret@h/d',
      AS_NOTED_SESION_HOURS: '3',
      AS_NOTED_POOL_SIZE: '-1',
    });
    expect(faults).toEqual([
      'AS_NOTED_MODE is "prod"; it must be one of sample, production, test.',
      'PORT is "99999"; it must be a whole number from 0 to 65535.',
      'DATABASE_URL must be a full address that starts with postgres:// or postgresql://.',
      'AS_NOTED_POOL_SIZE is "-1"; it must be a whole number from 1 to 200.',
      'AS_NOTED_SESION_HOURS is not a setting of this service. Correct its spelling or remove it.',
    ]);
  });

  it('never repeats a connection string, which holds a password', () => {
    expect(faultsOf({ DATABASE_URL: 'mysql://u:secret@h/d' }).join()).not.toContain('secret');
  });

  it('asks for database and address in production mode', () => {
    expect(faultsOf({ AS_NOTED_MODE: 'production' })).toHaveLength(2);
    const config = loadConfig({
      AS_NOTED_MODE: 'production',
      DATABASE_URL: 'postgres://u:p@h/d',
      AS_NOTED_PUBLIC_URL: 'https://claims.example.test/',
    });
    expect(config.publicUrl).toBe('https://claims.example.test');
  });

  it('keeps photos in a folder and decodes HEIC unless it is told otherwise', () => {
    const { photos } = loadConfig({});
    expect(photos).toMatchObject({ heic: true, linkMinutes: 15, uploadHours: 48, openUploads: 20 });
    expect([photos.objectStore, photos.linkSecret]).toEqual([undefined, undefined]);
    expect(loadConfig({ AS_NOTED_HEIC: 'no' }).photos.heic).toBe(false);
  });

  const S3 = {
    AS_NOTED_STORE: 's3',
    AS_NOTED_S3_ENDPOINT: 'https://s3.example.test/',
    AS_NOTED_S3_BUCKET: 'as-noted-photos',
    AS_NOTED_S3_KEY_ID: 'key',
    AS_NOTED_S3_SECRET: 'secret',
  };

  it('takes an object store with all that it needs', () => {
    expect(loadConfig(S3).photos.objectStore).toEqual({
      endpoint: 'https://s3.example.test',
      bucket: 'as-noted-photos',
      region: 'us-east-1',
      keyId: 'key',
      secret: 'secret',
    });
  });

  it.each([
    [{ AS_NOTED_STORE: 's3' }, /^AS_NOTED_STORE=s3 needs AS_NOTED_S3_ENDPOINT, /],
    [{ ...S3, AS_NOTED_S3_SECRET: '' }, /^AS_NOTED_STORE=s3 needs /],
    [{ ...S3, AS_NOTED_STORE: 'folder' }, /AS_NOTED_STORE is not s3/],
    [{ ...S3, AS_NOTED_S3_BUCKET: 'Photos/2026' }, /^AS_NOTED_S3_BUCKET must be 3 to 63/],
    [{ ...S3, AS_NOTED_S3_ENDPOINT: 's3.example.test' }, /^AS_NOTED_S3_ENDPOINT must be a full address/],
    [{ AS_NOTED_PICTURE_LINK_SECRET: 'short' }, /at least 32 characters/],
  ] as const)('says what is wrong with %o', (env, sentence) => {
    expect(faultsOf(env)[0]).toMatch(sentence);
    expect(faultsOf(env).join()).not.toContain('secret"');
  });

  it('treats an empty variable as absent', () => {
    expect(loadConfig({ PORT: ' ', DATABASE_URL: '' }).port).toBe(4310);
  });
});

describe('the project root', () => {
  it('holds package.json', () => {
    expect(existsSync(join(projectRoot(), 'package.json'))).toBe(true);
  });
});

function faultsOf(env: Record<string, string>): readonly string[] {
  try {
    loadConfig(env);
  } catch (error) {
    if (error instanceof ConfigFaults) return error.faults;
    throw error;
  }
  throw new Error('expected faults');
}
