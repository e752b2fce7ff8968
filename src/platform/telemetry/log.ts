import type { LoggerService } from '@nestjs/common';
import { pino, stdTimeFunctions, type DestinationStream, type Logger } from 'pino';
import type { LogLevel } from '../config/config.js';
import { currentContext } from './request-context.js';

/** Names whose values never reach a log, wherever they stand. */
const SECRET = ['password', 'passwordHash', 'token', 'secret', 'key', 'authorization', 'cookie', 'credential'];

export type Log = Logger;

/**
 * The service's log: one JSON object a line, UTC times with offset, request id, tenant and actor added by themselves.
 * An error line means that somebody must act now; a refusal is not one.
 */
export function openLog(level: LogLevel, to?: DestinationStream): Log {
  const paths = SECRET.flatMap((name) => [name, `*.${name}`, `*.*.${name}`]);
  return pino(
    {
      level,
      base: undefined,
      timestamp: stdTimeFunctions.isoTime,
      formatters: { level: (label) => ({ level: label }) },
      redact: { paths: [...paths, '*.headers["set-cookie"]'], censor: '[hidden]' },
      mixin: () => ({ ...currentContext() }),
    },
    to ?? pino.destination({ sync: true }),
  );
}

/** Lets the framework's own messages into the same log. Its start-up chatter is kept for debugging. */
export class FrameworkLog implements LoggerService {
  constructor(private readonly into: Log) {}

  log(message: unknown, ...rest: unknown[]): void {
    this.into.debug({ from: source(rest) }, text(message));
  }

  error(message: unknown, ...rest: unknown[]): void {
    const stack = rest.find((part) => typeof part === 'string' && part.includes('\n'));
    this.into.error({ from: source(rest), ...(stack === undefined ? {} : { stack }) }, text(message));
  }

  warn(message: unknown, ...rest: unknown[]): void {
    this.into.warn({ from: source(rest) }, text(message));
  }

  debug(message: unknown, ...rest: unknown[]): void {
    this.into.debug({ from: source(rest) }, text(message));
  }

  verbose(message: unknown, ...rest: unknown[]): void {
    this.into.trace({ from: source(rest) }, text(message));
  }

  fatal(message: unknown, ...rest: unknown[]): void {
    this.into.fatal({ from: source(rest) }, text(message));
  }
}

function source(rest: readonly unknown[]): string {
  const last = rest.at(-1);
  return typeof last === 'string' && !last.includes('\n') ? last : 'framework';
}

function text(message: unknown): string {
  if (message instanceof Error) return message.stack ?? message.message;
  return typeof message === 'string' ? message : JSON.stringify(message);
}
