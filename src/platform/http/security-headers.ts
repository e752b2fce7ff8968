import type { FastifyInstance } from 'fastify';

/**
 * Pages may load only what this service serves; photos are shown from blobs while they wait to be sent.
 * @param styleNonce lets in style elements of the page that carry it
 */
export function pagePolicy(styleNonce?: string): string {
  return [
    `default-src 'self'`,
    ...(styleNonce === undefined ? [] : [`style-src 'self' 'nonce-${styleNonce}'`]),
    `img-src 'self' data: blob:`,
    `object-src 'none'`,
    `base-uri 'none'`,
    `form-action 'self'`,
    `frame-ancestors 'none'`,
  ].join('; ');
}

/** Data is never a page: if a browser is tricked into showing it as one, it may do nothing. */
const DATA_POLICY = `default-src 'none'; frame-ancestors 'none'; sandbox`;

/** Sets protective headers on every answer; a route that set one itself keeps its own. */
export function secureAnswers(server: FastifyInstance, https: boolean): void {
  server.addHook('onSend', (_request, reply, _payload, done) => {
    const isPage = String(reply.getHeader('content-type') ?? '').startsWith('text/html');
    const wanted: Readonly<Record<string, string>> = {
      'content-security-policy': isPage ? pagePolicy() : DATA_POLICY,
      'x-content-type-options': 'nosniff',
      'x-frame-options': 'DENY',
      'referrer-policy': 'no-referrer',
      'cross-origin-opener-policy': 'same-origin',
      'cross-origin-resource-policy': 'same-origin',
      ...(https ? { 'strict-transport-security': 'max-age=31536000' } : {}),
    };
    for (const [name, value] of Object.entries(wanted)) {
      if (!reply.hasHeader(name)) void reply.header(name, value);
    }
    if (!reply.hasHeader('cache-control')) void reply.header('cache-control', 'no-store');
    done();
  });
}
