import type { Fault } from '../../kernel/outcome.js';
import { Invalid } from '../../platform/http/problems.js';
import type { SuppliedFacts } from '../domain/compose-claim-file.js';
import type { InformationDto } from './claim.dto.js';
import { pastInstant } from './past-instant.js';

/**
 * Words and facts out of a checked body. Only facts that were sent are kept.
 * @throws Invalid on times without their offset or in the future
 */
export function suppliedFacts(body: InformationDto, now: Temporal.Instant): { words: string; facts: SuppliedFacts } {
  const faults: Fault[] = [];
  const given = Object.entries(body.facts ?? {}).filter(([, value]) => value !== undefined);
  const facts = given.map(([name, value]) => [
    name,
    name.endsWith('At') ? pastInstant(String(value), `#/facts/${name}`, now, faults) : value,
  ]);
  if (faults.length > 0) throw new Invalid(faults);
  return { words: body.words, facts: Object.fromEntries(facts) };
}
