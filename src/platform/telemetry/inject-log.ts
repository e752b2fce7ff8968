import { Inject } from '@nestjs/common';

/** Injection token of the log. */
export const LOG = Symbol('log');

/** Injects the log. */
export function InjectLog(): ParameterDecorator {
  return Inject(LOG);
}
