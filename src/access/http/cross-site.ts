import type { FastifyRequest } from 'fastify';
import { Refused } from '../../platform/http/problems.js';

const SAFE = new Set(['GET', 'HEAD', 'OPTIONS', 'TRACE']);

/**
 * Refuses a changing request that a browser sends on behalf of another site. Browsers say so in Sec-Fetch-Site, older ones in
 * Origin (OWASP Cross-Site Request Forgery Prevention Cheat Sheet: checking the origin). A request with neither header does not
 * come from a browser, and nothing but a browser attaches cookies to somebody else's request.
 * @param publicUrl origin under which people reach the service
 * @throws Refused `cross-site-request`
 */
export function refuseCrossSite(request: FastifyRequest, publicUrl: string): void {
  if (SAFE.has(request.method)) return;
  const { origin, 'sec-fetch-site': site } = request.headers;
  if (site !== undefined) {
    if (site === 'same-origin' || site === 'none') return;
  } else if (origin === undefined || origin === publicUrl || origin === `${request.protocol}://${request.host}`) return;
  throw new Refused('cross-site-request', 'Open the page on our own address and try again.');
}
