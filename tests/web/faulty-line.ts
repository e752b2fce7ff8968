import { createServer, request, type IncomingMessage, type Server, type ServerResponse } from 'node:http';

/** What can go wrong with one request; each with its share of all requests that change something. */
export interface Faults {
  /** The request is done, and its answer never comes. */
  readonly lost: number;
  /** It never gets there. */
  readonly dropped: number;
  /** The service says that it is busy. */
  readonly busy: number;
  /** The answer names something else than what was sent. */
  readonly untrue: number;
  /** It gets there twice. */
  readonly doubled: number;
}

export const NO_FAULTS: Faults = { lost: 0, dropped: 0, busy: 0, untrue: 0, doubled: 0 };
/** A line on which two of three requests go wrong. */
export const BAD_LINE: Faults = { lost: 0.25, dropped: 0.15, busy: 0.1, untrue: 0.1, doubled: 0.3 };

/** A line between phone and service that can be cut, and that loses, doubles and falsifies what goes over it, the same way for one seed. */
export class FaultyLine {
  faults: Faults = NO_FAULTS;
  /** Changes an answer before it goes out, by its address; undefined leaves it as it is. */
  rewrite: (path: string, body: string) => string | undefined = () => undefined;
  /** How often each fault happened. */
  readonly happened: Record<keyof Faults, number> = { lost: 0, dropped: 0, busy: 0, untrue: 0, doubled: 0 };
  private server: Server | undefined;
  private port = 0;

  constructor(
    private readonly service: string,
    private seed = 1,
  ) {}

  get address(): string {
    return `http://127.0.0.1:${this.port}`;
  }

  /** Puts the line up, at the same address as before. */
  async up(): Promise<void> {
    this.server = createServer((incoming, answer) => void this.carry(incoming, answer));
    await new Promise<void>((ready) => this.server?.listen(this.port, '127.0.0.1', ready));
    const address = this.server.address();
    if (address !== null && typeof address !== 'string') this.port = address.port;
  }

  /** Cuts the line: nothing gets through, and what is under way is lost. */
  async down(): Promise<void> {
    const { server } = this;
    this.server = undefined;
    server?.closeAllConnections();
    await new Promise<void>((closed) => (server === undefined ? closed() : server.close(() => closed())));
  }

  private async carry(incoming: IncomingMessage, answer: ServerResponse): Promise<void> {
    const chunks: Buffer[] = [];
    for await (const chunk of incoming) chunks.push(chunk as Buffer);
    const body = Buffer.concat(chunks);
    const fault = incoming.method === 'GET' ? undefined : this.chooseFault();
    if (fault !== undefined) this.happened[fault] += 1;
    if (fault === 'dropped') {
      answer.destroy();
      return;
    }
    if (fault === 'busy') {
      answer.writeHead(503, { 'content-type': 'application/problem+json' }).end('{"type":"/problems/busy"}');
      return;
    }
    if (fault === 'doubled') await this.forward(incoming, body).catch(() => undefined);
    try {
      const got = await this.forward(incoming, body);
      if (fault === 'lost') answer.destroy();
      else answer.writeHead(got.status, got.headers).end(this.asSent(incoming, got.body, fault === 'untrue'));
    } catch {
      answer.destroy();
    }
  }

  private asSent(incoming: IncomingMessage, body: Buffer, untrue: boolean): Buffer {
    const text = untrue
      ? body.toString().replaceAll(/"(sha256|sentAs)":"[0-9a-f]{4}/g, '"$1":"ffff')
      : this.rewrite(incoming.url ?? '', body.toString());
    return text === undefined ? body : Buffer.from(text);
  }

  private forward(incoming: IncomingMessage, body: Buffer) {
    type Got = { readonly status: number; readonly headers: Record<string, string | string[]>; readonly body: Buffer };
    return new Promise<Got>((done, failed) => {
      // Whole and not pressed together, so that answers can be rewritten.
      const { 'if-none-match': _seen, ...asked } = incoming.headers;
      const headers = { ...asked, 'accept-encoding': 'identity' };
      const onward = request(`${this.service}${incoming.url}`, { method: incoming.method, headers }, (got) => {
        const chunks: Buffer[] = [];
        got.on('data', (chunk: Buffer) => chunks.push(chunk));
        got.on('end', () => {
          const {
            'content-length': _length,
            'transfer-encoding': _transfer,
            connection: _connection,
            ...rest
          } = got.headers;
          done({
            status: got.statusCode ?? 502,
            headers: rest as Record<string, string | string[]>,
            body: Buffer.concat(chunks),
          });
        });
        got.on('error', failed);
      });
      onward.on('error', failed);
      onward.end(body);
    });
  }

  private chooseFault(): keyof Faults | undefined {
    let at = this.random();
    for (const [fault, share] of Object.entries(this.faults) as [keyof Faults, number][]) {
      if (at < share) return fault;
      at -= share;
    }
    return undefined;
  }

  /** Mulberry32, a public-domain generator (from memory): small, seeded, good enough for faults. */
  private random(): number {
    this.seed = (this.seed + 0x6d2b79f5) | 0;
    let t = Math.imul(this.seed ^ (this.seed >>> 15), 1 | this.seed);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296;
  }
}
