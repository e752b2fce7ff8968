import { randomUUID } from 'node:crypto';
import type { FastifyInstance, FastifyRequest } from 'fastify';
import type { IncomingMessage } from 'node:http';
import type { Log } from '../telemetry/log.js';
import type { Metrics } from '../telemetry/metrics.js';
import { enterContext } from '../telemetry/request-context.js';
import { callerOf } from './caller.js';
import { problemCodeOf } from './problem.filter.js';

/** The client's own request id when it is harmless to repeat, else a new one. */
export function requestIdFor(request: Pick<IncomingMessage, 'headers'>): string {
  const given = request.headers['x-request-id'];
  return typeof given === 'string' && /^[A-Za-z0-9._:-]{8,128}$/.test(given) ? given : randomUUID();
}

/** One line and one measurement for each request, both by route template, so that ids and tokens stay out of them. */
export function logRequests(server: FastifyInstance, log: Log, metrics: Metrics): void {
  server.addHook('onRequest', (request, reply, done) => {
    enterContext({ requestId: request.id });
    void reply.header('x-request-id', request.id);
    done();
  });
  server.addHook('onResponse', (request, reply, done) => {
    const route = routeOf(request);
    metrics.request({ method: request.method, route, status: reply.statusCode, seconds: reply.elapsedTime / 1000 });
    const caller = callerOf(request);
    const problem = problemCodeOf(request);
    const line = {
      requestId: request.id,
      method: request.method,
      route,
      status: reply.statusCode,
      ms: Math.round(reply.elapsedTime * 10) / 10,
      ...(caller === undefined ? {} : { tenant: caller.tenant, actor: `${caller.kind}:${caller.id}` }),
      ...(problem === undefined ? {} : { problem }),
    };
    if (isProbe(route)) log.debug(line, 'request');
    else log.info(line, 'request');
    done();
  });
}

function routeOf(request: FastifyRequest): string {
  return request.routeOptions.url ?? 'unknown';
}

function isProbe(route: string): boolean {
  return route === '/livez' || route === '/readyz' || route === '/metrics';
}
