import { createHash } from 'node:crypto';
import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { buffer } from 'node:stream/consumers';
import { AwsV4Signer } from 'aws4fetch';
import type { ObjectStoreSettings } from '../../src/platform/config/photo-settings.js';

/** What the server does wrong, once for each time it is listed. */
export type Mishap = 'busy' | 'hang up' | 'store other bytes' | 'never answer' | 'nothing';

/**
 * A small double of an S3 store on a free port: put, get, head, delete and ListObjectsV2 in one bucket. It checks signatures and stated hashes
 * as Debian's Swift with its S3 interface does, against which the same client is tested in the slow stage.
 */
export class ObjectServer {
  readonly objects = new Map<string, { content: Buffer; changedAt: string }>();
  readonly mishaps: Mishap[] = [];
  readonly requests: string[] = [];
  /** Objects on one page of a listing. */
  pageSize = 1000;
  private server: Server | undefined;
  readonly settings: { -readonly [K in keyof ObjectStoreSettings]: ObjectStoreSettings[K] } = {
    endpoint: '',
    bucket: 'photos',
    region: 'eu-test-1',
    keyId: 'THEKEY',
    secret: 'the secret of the tests',
  };
  private readonly secret = this.settings.secret;

  async start(): Promise<void> {
    const server = createServer((request, response) => {
      void this.answer(request, response);
    });
    this.server = server;
    await new Promise<void>((settle) => server.listen(0, '127.0.0.1', settle));
    this.settings.endpoint = `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
  }

  async stop(): Promise<void> {
    const { server } = this;
    server?.closeAllConnections();
    await new Promise<void>((settle) => (server ? server.close(() => settle()) : settle()));
  }

  private async answer(request: IncomingMessage, response: ServerResponse): Promise<void> {
    this.requests.push(`${request.method} ${request.url}`);
    const mishap = this.mishaps.shift();
    if (mishap === 'hang up') return void request.socket.destroy();
    if (mishap === 'never answer') return;
    const body = await buffer(request);
    if (mishap === 'busy') return refuse(response, 503, 'SlowDown');
    const url = new URL(request.url ?? '/', this.settings.endpoint);
    const [, bucket, key = ''] = url.pathname.split('/');
    if (!(await this.isSigned(request, url))) return refuse(response, 403, 'SignatureDoesNotMatch');
    if (bucket !== 'photos') return refuse(response, 404, 'NoSuchBucket');
    const stated = request.headers['x-amz-content-sha256'];
    if (stated !== createHash('sha256').update(body).digest('hex'))
      return refuse(response, 400, 'XAmzContentSHA256Mismatch');
    if (key === '') return this.list(response, url.searchParams.get('continuation-token') ?? '');
    if (request.method === 'PUT') {
      const content = mishap === 'store other bytes' ? Buffer.concat([body, Buffer.from('!')]) : body;
      this.objects.set(key, { content, changedAt: new Date().toISOString() });
      return void response.end();
    }
    if (request.method === 'DELETE') {
      this.objects.delete(key);
      return void response.writeHead(204).end();
    }
    const found = this.objects.get(key);
    if (!found) return refuse(response, 404, 'NoSuchKey');
    const lastModified = new Date(found.changedAt).toUTCString();
    response.writeHead(200, { 'content-length': found.content.length, 'last-modified': lastModified });
    response.end(request.method === 'HEAD' ? undefined : found.content);
  }

  private list(response: ServerResponse, after: string): void {
    const keys = [...this.objects.keys()].sort().filter((key) => key > after);
    const page = keys.slice(0, this.pageSize);
    const entries = page.map((key) => {
      const { content, changedAt } = this.objects.get(key) ?? { content: Buffer.alloc(0), changedAt: '' };
      return `<Contents><Key>${key}</Key><LastModified>${changedAt}</LastModified><Size>${content.length}</Size></Contents>`;
    });
    const more = keys.length > page.length;
    const token = more ? `<NextContinuationToken>${page.at(-1)}</NextContinuationToken>` : '';
    response.end(
      `<?xml version="1.0"?><ListBucketResult>${entries.join('')}<IsTruncated>${more}</IsTruncated>${token}</ListBucketResult>`,
    );
  }

  /** The signature made anew with the server's own secret must be the one that came. */
  private async isSigned(request: IncomingMessage, url: URL): Promise<boolean> {
    const { authorization = '', 'x-amz-date': datetime, 'x-amz-content-sha256': sha256 } = request.headers;
    const signer = new AwsV4Signer({
      method: request.method ?? 'GET',
      url: url.href,
      headers: { 'x-amz-content-sha256': String(sha256) },
      accessKeyId: this.settings.keyId,
      secretAccessKey: this.secret,
      region: this.settings.region,
      service: 's3',
      datetime: String(datetime),
    });
    return (await signer.authHeader()) === authorization;
  }
}

function refuse(response: ServerResponse, status: number, code: string): void {
  response.writeHead(status).end(`<?xml version="1.0"?><Error><Code>${code}</Code></Error>`);
}
