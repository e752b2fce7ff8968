import { createParamDecorator, SetMetadata, type ExecutionContext } from '@nestjs/common';
import type { FastifyRequest } from 'fastify';
import { requireCaller } from '../platform/http/caller.js';
import type { Act } from './access.contract.js';

export { Public } from '../platform/http/public.js';

/** Metadata key of the act that a route needs. */
export const NEEDED_ACT = 'as-noted:act';

/**
 * The route needs this act by role, before anything is read. What the act is done to is judged by the service afterwards
 * (`AccessService.demand`), once it has the thing in hand.
 */
export function Needs(act: Act): MethodDecorator & ClassDecorator {
  return SetMetadata(NEEDED_ACT, act);
}

const CurrentActorValue = createParamDecorator((_data: unknown, context: ExecutionContext) =>
  requireCaller(context.switchToHttp().getRequest<FastifyRequest>()),
);

/** Who makes the request, as an Actor. */
export function CurrentActor(): ParameterDecorator {
  return CurrentActorValue();
}
