import type { Fault } from '../../kernel/outcome.js';
import { Invalid } from '../../platform/http/problems.js';
import type { SuppliedFacts } from '../domain/compose-claim-file.js';
import type { InformationDto } from './claim.dto.js';

/** Words and facts out of a checked body. Only facts that were sent are kept. @throws Invalid on a time without its offset */
export function suppliedFacts(body: InformationDto): { words: string; facts: SuppliedFacts } {
  const faults: Fault[] = [];
  const given = Object.entries(body.facts ?? {}).filter(([, value]) => value !== undefined);
  const facts = given.map(([name, value]) => [
    name,
    name.endsWith('At') ? instant(name, String(value), faults) : value,
  ]);
  if (faults.length > 0) throw new Invalid(faults);
  return { words: body.words, facts: Object.fromEntries(facts) };
}

function instant(name: string, text: string, faults: Fault[]): string {
  try {
    return Temporal.Instant.from(text).toString({ smallestUnit: 'millisecond' });
  } catch {
    faults.push({
      pointer: `#/facts/${name}`,
      detail: 'Write the time with its offset, like 2026-03-03T09:58:00-08:00.',
    });
    return text;
  }
}
