import type { CaseOutcome, CaseTrace, FrozenCase } from '../../adjudication/records.contract.js';
import type { Remedy } from '../../kernel/vocabulary.js';
import type { CompiledPolicy, Facts, OutcomeValue, PolicyDocument } from '../../policies/policies.contract.js';
import type { WhyNot } from '../../policies/trace.contract.js';

/** A rule as it decided. */
export interface RecordedRule {
  readonly decision: string;
  readonly rule: string;
  readonly because?: string;
  readonly source?: string;
  readonly cells: readonly { readonly column: string; readonly cell: string; readonly value: OutcomeValue }[];
}

/** One question that was put to the policy, with the rules that answered it. */
export interface RecordedQuestion {
  readonly about?: string;
  readonly given: Facts;
  readonly asked: readonly string[];
  readonly outcomes: Readonly<Record<string, OutcomeValue>>;
  readonly rules: readonly RecordedRule[];
  readonly needs: readonly string[];
}

/** The questions of a record in words: the policy's own reasons and cells beside the values that met them. */
export function whyRecord({ questions }: CaseTrace, document: PolicyDocument): RecordedQuestion[] {
  return questions.map(({ about, given, asked, outcomes, fired, needs }) => ({
    ...(about === undefined ? {} : { about }),
    given,
    asked,
    outcomes,
    rules: fired.map((one) => ruleOf(one, document)),
    needs,
  }));
}

function ruleOf(
  { decision, rule: id, met }: CaseTrace['questions'][number]['fired'][number],
  { decisions }: PolicyDocument,
): RecordedRule {
  const table = decisions.find((one) => one.id === decision)?.table;
  const rule = table?.rules.find((one) => one.id === id);
  const because = rule?.because ?? (id === 'otherwise' ? table?.otherwiseBecause : undefined);
  return {
    decision,
    rule: id,
    ...(because === undefined ? {} : { because }),
    ...(rule?.source === undefined ? {} : { source: rule.source }),
    cells: Object.entries(met).map(([column, value]) => ({ column, cell: rule?.when[column] ?? '-', value })),
  };
}

/** Why a matter did not get a remedy. */
export interface RemedyNotGiven {
  readonly about: string;
  readonly given: boolean;
  /** One sentence. */
  readonly says: string;
  /** Where the policy bars it: rules that would admit it and what stands against them, and the nearest change of facts. */
  readonly whyNot?: WhyNot;
}

/** Why each matter of a case got or did not get a remedy. @param remedy the one that somebody would have expected */
export function whyNotRemedy(
  frozen: FrozenCase,
  outcome: CaseOutcome,
  policy: CompiledPolicy,
  remedy: Remedy,
): RemedyNotGiven[] {
  return frozen.matters.map(({ about, facts, parts }) => {
    const chosen = outcome.remedies.find((one) => one.about.includes(about))?.remedy;
    if (chosen === remedy) return { about, given: true, says: `${remedy} was given for ${about}.` };
    if (remedy === 'part' && parts.length === 0) {
      return { about, given: false, says: `The catalogue has nothing that could be supplied for ${about}.` };
    }
    const all = declared({ ...frozen.base, ...facts, option: remedy, wished: frozen.claim.wish === remedy }, policy);
    const asked = policy.evaluate(frozen.on, all, ['remedy option']);
    const { admissible, rank } = asked.outcomes;
    if (admissible === true) {
      const won = chosen === undefined ? 'nothing else was chosen' : `${chosen} comes before it by rank or by cost`;
      return { about, given: false, says: `${remedy} is allowed for ${about}, with rank ${String(rank)}; ${won}.` };
    }
    const whyNot = policy.whyNot(frozen.on, all, { name: 'admissible', value: true });
    const says =
      admissible === undefined
        ? `Whether ${remedy} is allowed for ${about} is not decided.`
        : `The policy does not allow ${remedy} for ${about}.`;
    return { about, given: false, says, whyNot };
  });
}

function declared(facts: Facts, { document }: CompiledPolicy): Facts {
  return Object.fromEntries(Object.entries(facts).filter(([name]) => Object.hasOwn(document.facts, name)));
}
