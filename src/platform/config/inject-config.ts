import { Inject } from '@nestjs/common';

/** Injection token of the Config, which is an interface and has no class to stand for it. */
export const CONFIG = Symbol('config');

/** Injects the Config. */
export function InjectConfig(): ParameterDecorator {
  return Inject(CONFIG);
}
