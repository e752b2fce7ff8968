import { whyClock, whyCustody, whyElement, whyNeed, whyRule, whyVerdict } from './why-clocks.js';
import { whyFinding, whyNextCheck, whyStop } from './why-findings.js';
import { whyRecovery, whyRemedy, whyResponsibility, whySecondPerson } from './why-money.js';
import type { Assessed, WhyStep } from './why-steps.js';

export type { Assessed, WhyStep } from './why-steps.js';

/** The reasons for one value of an assessment, from the value down to rules, observations, dated parameters and their sources. */
export interface Why {
  readonly format: 'why/1';
  /** JSON pointer (RFC 6901) into the assessment. */
  readonly pointer: string;
  readonly value: unknown;
  readonly chain: readonly WhyStep[];
}

/**
 * Answers why one value of an assessment is what it is.
 * @param pointer JSON pointer into the assessment, such as `/remedy/customerLines/0`; a leading `#` is allowed
 * @returns undefined where the assessment has nothing at that place
 */
export function why(pointer: string, of: Assessed): Why | undefined {
  const steps = stepsOf(pointer);
  const found = steps && resolved(of.assessment, steps);
  if (found === undefined || steps === undefined) return undefined;
  const [section = '', ...rest] = steps;
  const nothing = Array.isArray(found.value) && found.value.length === 0;
  const chain = chainOf(section, rest, of);
  return {
    format: 'why/1',
    pointer: pointer.replace(/^#/, ''),
    value: found.value,
    chain: nothing ? [{ says: 'The list is empty: nothing of the kind came up.' }, ...chain] : chain,
  };
}

function chainOf(section: string, rest: readonly string[], of: Assessed): WhyStep[] {
  switch (section) {
    case 'findings':
      return rest.length === 0 ? everyFinding(of) : whyFinding(of, rest);
    case 'responsibility':
      return rest.length === 0 ? everyMatter(of) : whyResponsibility(of, rest);
    case 'remedy':
      return whyRemedy(of, rest);
    case 'recovery':
      return whyRecovery(of, rest);
    case 'clocks':
      return whyClock(of, rest);
    case 'elements':
      return whyElement(of, rest);
    case 'custody':
      return whyCustody(of);
    case 'needs':
      return whyNeed(of, rest);
    case 'rules':
      return whyRule(of, rest);
    case 'nextChecks':
      return whyNextCheck(of, rest);
    case 'safetyStops':
      return whyStop(of, rest);
    case 'secondPersonAboveMinor':
      return whySecondPerson(of);
    case 'documents':
      return documentSteps(of);
    case 'title':
    case 'format':
      return [{ says: 'From the claim file.' }];
    default:
      return whyVerdict(of, section);
  }
}

function everyFinding(of: Assessed): WhyStep[] {
  if (of.assessment.findings.length === 0) return [{ says: 'Nothing was seen that opens a finding.' }];
  return of.assessment.findings.flatMap((_, index) => whyFinding(of, [String(index)]));
}

function everyMatter(of: Assessed): WhyStep[] {
  return of.assessment.responsibility.flatMap((_, index) => whyResponsibility(of, [String(index)]));
}

function documentSteps({ assessment, claim }: Assessed): WhyStep[] {
  return Object.entries(assessment.documents).map(([name, { id, version, hash }]) => ({
    says: `${name} ${id}/${version}, asked for in the claim file as ${claim.documents[name as keyof typeof claim.documents]}. SHA-256 over its canonical JSON (RFC 8785): ${hash}.`,
    at: `/documents/${name}`,
  }));
}

/** Steps of a pointer with its escapes undone (RFC 6901 section 4); undefined where it is no pointer. */
function stepsOf(pointer: string): string[] | undefined {
  const plain = pointer.startsWith('#') ? pointer.slice(1) : pointer;
  if (plain === '') return [];
  if (!plain.startsWith('/')) return undefined;
  return plain
    .slice(1)
    .split('/')
    .map((step) => step.replaceAll('~1', '/').replaceAll('~0', '~'));
}

function resolved(document: unknown, steps: readonly string[]): { readonly value: unknown } | undefined {
  let value = document;
  for (const step of steps) {
    if (typeof value !== 'object' || value === null || !Object.hasOwn(value, step)) return undefined;
    if (Array.isArray(value) && !/^(?:0|[1-9]\d*)$/.test(step)) return undefined;
    value = (value as Readonly<Record<string, unknown>>)[step];
  }
  return { value };
}
