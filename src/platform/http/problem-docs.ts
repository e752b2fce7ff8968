import { applyDecorators } from '@nestjs/common';
import { ApiResponse } from '@nestjs/swagger';
import { PROBLEMS, type ProblemCode } from './problems.js';

/** What any route that needs a credential may answer. */
const ALWAYS = ['invalid-request', 'sign-in-required', 'not-allowed'] as const satisfies readonly ProblemCode[];

/** Documents which problems a route answers with; those that every route shares are added. */
export function Problems(...codes: readonly ProblemCode[]): MethodDecorator & ClassDecorator {
  const byStatus = Map.groupBy(new Set<ProblemCode>([...ALWAYS, ...codes]), (code) => PROBLEMS[code].status);
  return applyDecorators(
    ...[...byStatus].map(([status, sameStatus]) =>
      ApiResponse({
        status,
        description: sameStatus.map((code) => `${PROBLEMS[code].title} (/problems/${code})`).join('. '),
        // The schema itself is added to the description as a whole; see describeApi.
        content: { 'application/problem+json': { schema: { $ref: '#/components/schemas/Problem' } } },
      }),
    ),
  );
}

/** Documents what every `@Creates()` route may answer beside its own problems. */
export const CREATION_PROBLEMS = [
  'idempotency-key-missing',
  'idempotency-key-in-use',
  'idempotency-key-reused',
] as const satisfies readonly ProblemCode[];
