import { PARTIES, type Party } from '../../kernel/vocabulary.js';
import type { Responsibility } from '../adjudication.contract.js';
import { originFacts } from './claim-facts.js';
import type { JudgedMatter } from './judged-case.js';
import type { Asked, KnownCase, PolicyRun } from './policy-run.js';
import { partyAmounts, presumedShares, proportionalShares } from './responsibility-shares.js';

/** Who answers for one matter, before its cost is known. */
export type Answers = Pick<Responsibility, 'about' | 'mode' | 'shares' | 'because' | 'fired'>;

/**
 * Decides who answers for a matter by the policy's notice and responsibility tables. A presumption gives one party all of it;
 * `proportional` maps the origin marginals to parties. Where the policy lacks a fact, a rule or a party, nobody is named.
 * @param floorBp shares under this are folded into the largest
 */
export function answersFor(matter: JudgedMatter, facts: KnownCase, run: PolicyRun, floorBp: number): Answers {
  const asked = run.ask(facts, ['notice', 'responsibility']);
  const { mode, party } = asked.outcomes;
  if (mode === undefined) {
    run.want(asked.needs);
    return unassigned(matter, asked, withoutMode(asked));
  }
  if (mode === 'presumption') {
    const named = PARTIES.find((candidate) => candidate === party);
    if (named === undefined) {
      return unassigned(matter, asked, 'The policy presumes that one party answers but names none.');
    }
    const because = ruleWords(asked) ?? `The policy presumes that the ${named} answers.`;
    return { about: matter.about, mode, shares: presumedShares(named), because, fired: asked.fired };
  }
  if (mode === 'proportional') return proportional(matter, facts, { run, asked, floorBp });
  return unassigned(matter, asked, ruleWords(asked) ?? 'The policy leaves it to a person who answers for this.');
}

/** The same answers where the carrier has shown both limbs of its defence: the presumption against it falls, and a person decides. */
export function withoutRebutted(answers: Answers): Answers {
  const presumed = answers.mode === 'presumption' && answers.shares.some(({ party }) => party === 'carrier');
  if (!presumed) return answers;
  const because =
    'The carrier has shown freedom from negligence and an excepted cause, so it no longer answers on a presumption; a person decides who does.';
  return { ...answers, mode: 'unassigned', shares: [], because };
}

/** Puts a matter's cost on its shares; the amounts sum to the cost. */
export function withCost(answers: Answers, costMinor: number): Responsibility {
  return { ...answers, costMinor, amounts: partyAmounts(costMinor, answers.shares) };
}

function proportional(
  matter: JudgedMatter,
  facts: KnownCase,
  by: { readonly run: PolicyRun; readonly asked: Asked; readonly floorBp: number },
): Answers {
  const { run, asked, floorBp } = by;
  const fired = [...asked.fired];
  const weights: { party: Party; weight: number }[] = [];
  const said: string[] = [];
  for (const { origin, probability } of matter.finding?.origins ?? []) {
    if (probability <= 0) continue;
    const answer = run.ask(run.with(facts, originFacts(origin, probability)), ['party for origin']);
    fired.push(...answer.fired);
    const { answers } = answer.outcomes;
    if (answers === undefined) run.want(answer.needs);
    const party = PARTIES.find((candidate) => candidate === answers);
    if (party !== undefined) weights.push({ party, weight: probability });
    said.push(`${origin} ${(probability * 100).toFixed(1)} % → ${party ?? 'nobody'}`);
  }
  const shares = proportionalShares(weights, floorBp);
  const once = fired.filter(
    (rule, index) => fired.findIndex((other) => other.decision === rule.decision && other.rule === rule.rule) === index,
  );
  if (shares.length === 0) {
    const why = matter.finding
      ? 'No origin that was found points to a party.'
      : 'There is no finding whose origins could be shared out.';
    return { about: matter.about, mode: 'unassigned', shares: [], because: why, fired: once };
  }
  const words = ruleWords(asked);
  const because = `${words === undefined ? '' : `${words} `}Origins found: ${said.join(', ')}.`;
  return { about: matter.about, mode: 'proportional', shares, because, fired: once };
}

function unassigned(matter: JudgedMatter, asked: Asked, because: string): Answers {
  return { about: matter.about, mode: 'unassigned', shares: [], because, fired: asked.fired };
}

function withoutMode(asked: Asked): string {
  return asked.needs.length > 0
    ? `Not known yet: ${[...new Set(asked.needs.map(({ fact }) => fact))].join(', ')}.`
    : 'No rule of the policy speaks to this case.';
}

function ruleWords(asked: Asked): string | undefined {
  return asked.fired.find(({ decision }) => decision === 'responsibility')?.because;
}
