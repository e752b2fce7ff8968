import type { SettingsReader } from './settings-reader.js';

/** An object store that speaks the S3 protocol. Addresses are ENDPOINT/BUCKET/KEY. */
export interface ObjectStoreSettings {
  /** Without a slash at the end. */
  readonly endpoint: string;
  readonly bucket: string;
  readonly region: string;
  readonly keyId: string;
  readonly secret: string;
}

/** How photos are taken in, kept and shown. */
export interface PhotoSettings {
  /** Whether HEIC is decoded. Off: originals are kept and not shown. */
  readonly heic: boolean;
  /** Where originals are kept; absent: in the state folder. */
  readonly objectStore?: ObjectStoreSettings;
  /** A signed link to a picture counts this long. */
  readonly linkMinutes: number;
  /** Signs links to pictures; absent: a secret of its own in the state folder. */
  readonly linkSecret?: string;
  /** A resumable upload may take this long from its creation on. */
  readonly uploadHours: number;
  /** Resumable uploads that one sender may have open. */
  readonly openUploads: number;
  /** How long a sender waits at most for the advice about a photo; 0 for not at all. */
  readonly receiptSeconds: number;
  /** When a photo counts as taken outside its visit, and how far from the address. */
  readonly doubts: { readonly beforeHours: number; readonly afterHours: number; readonly farMetres: number };
  /** What a tenant may keep unless it was given other limits. */
  readonly quota: { readonly bytes: number; readonly photos: number };
}

/** Names of the settings below. */
export const PHOTO_SETTINGS = [
  'AS_NOTED_HEIC',
  'AS_NOTED_STORE',
  'AS_NOTED_S3_ENDPOINT',
  'AS_NOTED_S3_BUCKET',
  'AS_NOTED_S3_REGION',
  'AS_NOTED_S3_KEY_ID',
  'AS_NOTED_S3_SECRET',
  'AS_NOTED_PICTURE_LINK_MINUTES',
  'AS_NOTED_PICTURE_LINK_SECRET',
  'AS_NOTED_UPLOAD_HOURS',
  'AS_NOTED_OPEN_UPLOADS',
  'AS_NOTED_PHOTO_RECEIPT_SECONDS',
  'AS_NOTED_PHOTO_BEFORE_HOURS',
  'AS_NOTED_PHOTO_AFTER_HOURS',
  'AS_NOTED_PHOTO_FAR_METRES',
  'AS_NOTED_QUOTA_GIB',
  'AS_NOTED_QUOTA_PHOTOS',
] as const;

/** Reads the settings of photos; what is wrong is noted in the reader. */
export function readPhotoSettings(read: SettingsReader): PhotoSettings {
  const linkSecret = read.text('AS_NOTED_PICTURE_LINK_SECRET');
  if (linkSecret !== undefined && linkSecret.length < 32) {
    read.fault('AS_NOTED_PICTURE_LINK_SECRET must have at least 32 characters.');
  }
  const objectStore = readObjectStore(read);
  return {
    heic: read.oneOf('AS_NOTED_HEIC', ['yes', 'no'] as const, 'yes') === 'yes',
    ...(objectStore === undefined ? {} : { objectStore }),
    linkMinutes: read.whole('AS_NOTED_PICTURE_LINK_MINUTES', { from: 1, to: 1440, otherwise: 15 }),
    ...(linkSecret === undefined ? {} : { linkSecret }),
    uploadHours: read.whole('AS_NOTED_UPLOAD_HOURS', { from: 1, to: 720, otherwise: 48 }),
    openUploads: read.whole('AS_NOTED_OPEN_UPLOADS', { from: 1, to: 1000, otherwise: 20 }),
    receiptSeconds: read.whole('AS_NOTED_PHOTO_RECEIPT_SECONDS', { from: 0, to: 30, otherwise: 4 }),
    doubts: {
      beforeHours: read.whole('AS_NOTED_PHOTO_BEFORE_HOURS', { from: 0, to: 8760, otherwise: 2 }),
      afterHours: read.whole('AS_NOTED_PHOTO_AFTER_HOURS', { from: 0, to: 8760, otherwise: 72 }),
      farMetres: read.whole('AS_NOTED_PHOTO_FAR_METRES', { from: 50, to: 1_000_000, otherwise: 1000 }),
    },
    quota: {
      bytes: read.whole('AS_NOTED_QUOTA_GIB', { from: 1, to: 1_000_000, otherwise: 1000 }) * 1024 ** 3,
      photos: read.whole('AS_NOTED_QUOTA_PHOTOS', { from: 1, to: 100_000_000, otherwise: 1_000_000 }),
    },
  };
}

function readObjectStore(read: SettingsReader): ObjectStoreSettings | undefined {
  const kind = read.oneOf('AS_NOTED_STORE', ['folder', 's3'] as const, 'folder');
  const endpoint = read.url('AS_NOTED_S3_ENDPOINT', ['http:', 'https:']);
  const bucket = read.text('AS_NOTED_S3_BUCKET');
  const keyId = read.text('AS_NOTED_S3_KEY_ID');
  const secret = read.text('AS_NOTED_S3_SECRET');
  const region = read.text('AS_NOTED_S3_REGION');
  const given = { endpoint, bucket, region, keyId, secret };
  if (kind === 'folder') {
    if (Object.values(given).some((value) => value !== undefined)) {
      read.fault('AS_NOTED_S3_… settings are there but AS_NOTED_STORE is not s3. Set it, or remove them.');
    }
    return undefined;
  }
  if (endpoint === undefined || bucket === undefined || keyId === undefined || secret === undefined) {
    read.fault(
      'AS_NOTED_STORE=s3 needs AS_NOTED_S3_ENDPOINT, AS_NOTED_S3_BUCKET, AS_NOTED_S3_KEY_ID and AS_NOTED_S3_SECRET.',
    );
    return undefined;
  }
  // Naming rules of buckets that every S3 store takes; dots would break certificates and are left out (common practice).
  if (!/^[a-z0-9][a-z0-9-]{1,61}[a-z0-9]$/.test(bucket)) {
    read.fault('AS_NOTED_S3_BUCKET must be 3 to 63 lower-case letters, digits and hyphens.');
  }
  return { endpoint: endpoint.href.replace(/\/+$/, ''), bucket, region: region ?? 'us-east-1', keyId, secret };
}
