import { setTimeout as pause } from 'node:timers/promises';
import { AwsClient } from 'aws4fetch';
import type { ObjectStoreSettings } from '../../platform/config/photo-settings.js';
import { StoreUnavailable } from './original-store.js';

export interface ObjectAnswer {
  readonly response: Response;
  /** Whether the object is there; everything else that is not well is thrown. */
  readonly found: boolean;
}

export interface ObjectRequest {
  /** SHA-256 of the body, lower-case hex. It is signed, so a store that checks it refuses other bytes. */
  readonly sha256: string;
  /** Opened anew for each try. */
  readonly body?: () => Promise<Blob>;
}

export interface Patience {
  readonly tries: number;
  /** One try, its answer's body included. */
  readonly timeoutMs: number;
  /** Pause before the second try; doubles each time. */
  readonly pauseMs: number;
}

const PATIENCE: Patience = { tries: 4, timeoutMs: 60_000, pauseMs: 250 };
/** Answers that pass by themselves. */
const PASSING = [429, 500, 502, 503, 504];

/** Signed requests (AWS Signature Version 4) to one bucket, repeated while the store is out of sorts. */
export class ObjectRequests {
  private readonly client: AwsClient;

  constructor(
    private readonly settings: ObjectStoreSettings,
    private readonly patience: Patience = PATIENCE,
  ) {
    this.client = new AwsClient({
      accessKeyId: settings.keyId,
      secretAccessKey: settings.secret,
      region: settings.region,
      service: 's3',
      retries: 0,
    });
  }

  /**
   * @param rest what follows the bucket in the address: `/KEY` or a query
   * @throws StoreUnavailable with what the operator can do
   */
  async send(method: 'GET' | 'HEAD' | 'PUT' | 'DELETE', rest: string, request: ObjectRequest): Promise<ObjectAnswer> {
    const { tries, pauseMs } = this.patience;
    for (let n = 1; ; n += 1) {
      const outcome = await this.once(method, rest, request);
      if (!(outcome instanceof Trouble)) return outcome;
      if (n >= tries || !outcome.passing) throw outcome;
      await pause(pauseMs * 2 ** (n - 1) * (0.5 + Math.random()));
    }
  }

  private async once(method: string, rest: string, request: ObjectRequest): Promise<ObjectAnswer | Trouble> {
    const { endpoint, bucket } = this.settings;
    let response: Response;
    try {
      const body = await request.body?.();
      response = await this.client.fetch(`${endpoint}/${bucket}${rest}`, {
        method,
        headers: { 'x-amz-content-sha256': request.sha256 },
        ...(body === undefined ? {} : { body }),
        signal: AbortSignal.timeout(this.patience.timeoutMs),
      });
    } catch (error) {
      return new Trouble(`The object store at ${endpoint} does not answer (${reasonOf(error)}).`, true);
    }
    const { status } = response;
    if (status >= 200 && status < 300) return { response, found: true };
    const code = await codeOf(response);
    if (status === 404 && code !== 'NoSuchBucket') return { response, found: false };
    return this.trouble(status, code);
  }

  private trouble(status: number, code: string): Trouble {
    const { endpoint, bucket, keyId } = this.settings;
    const said = code === '' ? `${status}` : `${status} ${code}`;
    if (status === 404) {
      return new Trouble(
        `The object store at ${endpoint} has no bucket ${bucket}. Create it, or correct AS_NOTED_S3_BUCKET.`,
        false,
      );
    }
    if (status === 403 || status === 401) {
      const time = code === 'RequestTimeTooSkewed' ? ' The clocks of this machine and of the store disagree.' : '';
      return new Trouble(
        `The object store at ${endpoint} refuses the key ${keyId} for the bucket ${bucket} (${said}).${time} Check AS_NOTED_S3_KEY_ID, AS_NOTED_S3_SECRET and AS_NOTED_S3_REGION.`,
        false,
      );
    }
    return new Trouble(`The object store at ${endpoint} answered ${said}.`, PASSING.includes(status));
  }
}

/** A store that did not do what it was asked. */
class Trouble extends StoreUnavailable {
  constructor(
    message: string,
    /** Whether another try may go better. */
    readonly passing: boolean,
  ) {
    super(message);
  }
}

/** The error code of an answer; the body is read to its end, so that the connection can be used again. */
async function codeOf(response: Response): Promise<string> {
  const text = await response.text().catch(() => '');
  return /<Code>([A-Za-z0-9.]{1,100})<\/Code>/.exec(text)?.[1] ?? '';
}

function reasonOf(error: unknown): string {
  if (!(error instanceof Error)) return String(error);
  const { cause } = error;
  return cause instanceof Error && cause.message !== '' ? cause.message : error.message;
}
