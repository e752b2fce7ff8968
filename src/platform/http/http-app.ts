import cookie from '@fastify/cookie';
import { NestFactory } from '@nestjs/core';
import { FastifyAdapter, type NestFastifyApplication } from '@nestjs/platform-fastify';
import type { DynamicModule, Type } from '@nestjs/common';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { Config } from '../config/config.js';
import { FrameworkLog, type Log } from '../telemetry/log.js';
import { Metrics } from '../telemetry/metrics.js';
import { readBodies } from './bodies.js';
import { noteRoutes } from './known-routes.js';
import { describeApi } from './openapi.js';
import { ApiDescription } from './openapi.controller.js';
import { ProblemFilter, type ErrorPage } from './problem.filter.js';
import { logRequests, requestIdFor } from './request-log.js';
import { secureAnswers } from './security-headers.js';
import { EdgeValidation } from './validation.pipe.js';

export interface HttpOptions {
  /** What a browser gets instead of a problem document. */
  readonly errorPage?: ErrorPage;
}

/**
 * Wires an application and puts the HTTP edge around it. Nothing is connected yet: call `app.init()` for tests with
 * `app.inject`, or `app.listen(port, host)`. The description of the API can be read already.
 * @param root the app module, made with the same config and log
 */
export async function httpApp(
  root: Type | DynamicModule,
  config: Config,
  log: Log,
  options: HttpOptions = {},
): Promise<NestFastifyApplication> {
  const adapter = new FastifyAdapter({
    bodyLimit: config.limits.bodyBytes,
    trustProxy: config.trustProxy,
    genReqId: requestIdFor,
    requestIdHeader: false,
    forceCloseConnections: 'idle',
    requestTimeout: 120_000,
    routerOptions: { maxParamLength: 300, ignoreTrailingSlash: true },
    // An address that cannot be decoded never reaches a route, so the filter has to be asked here.
    frameworkErrors: (error: Error, request: FastifyRequest, reply: FastifyReply) =>
      new ProblemFilter(log, options.errorPage).answer(error, request, reply),
  });
  const app = await NestFactory.create<NestFastifyApplication>(root, adapter, {
    bodyParser: false,
    logger: new FrameworkLog(log),
    abortOnError: false,
  });
  await configureHttp(app, config, log, options);
  return app;
}

/** Everything between the socket and the controllers, the same for the running service and for tests. */
export async function configureHttp(
  app: NestFastifyApplication,
  config: Config,
  log: Log,
  options: HttpOptions = {},
): Promise<void> {
  const server = app.getHttpAdapter().getInstance();
  noteRoutes(server);
  logRequests(server, log, app.get(Metrics));
  secureAnswers(server, config.publicUrl.startsWith('https:'));
  await readBodies(server, config.limits);
  await app.register(cookie as never);
  app.useGlobalFilters(new ProblemFilter(log, options.errorPage));
  app.useGlobalPipes(new EdgeValidation());
  app.get(ApiDescription).describedBy(() => describeApi(app));
}
