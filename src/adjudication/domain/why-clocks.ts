import type { Clock } from '../adjudication.contract.js';
import type { CaseElement } from './elements.js';
import { answerSteps, parameterStep, type Assessed, type WhyStep } from './why-steps.js';

/** Why a clock stands where it stands: its law, its start, its length and what stops it. */
export function whyClock(of: Assessed, [index = '']: readonly string[]): WhyStep[] {
  return of.assessment.clocks.flatMap((clock, at) =>
    index === '' || at === Number(index) ? clockSteps(of, clock, at) : [],
  );
}

function clockSteps(of: Assessed, clock: Clock, index: number): WhyStep[] {
  const rule = of.policy.document.clocks?.find(({ id }) => id === clock.id);
  if (rule === undefined) return [];
  const { starts, length, unit, week, inclusive, rolls, stops } = rule;
  const counted = [
    unit === 'business days' ? (week ?? 'monday to friday') : '',
    inclusive === true ? 'the first day counts' : '',
    rolls === true ? 'a last day without business rolls on' : '',
  ].filter((words) => words !== '');
  const end =
    clock.lastDay === null
      ? 'It has no last day yet'
      : `Its last day is ${clock.lastDay}, and it is missed from ${clock.endsAt ?? ''} on`;
  const stopped = of.claim.events[stops];
  return [
    {
      says: `${clock.title}: ${clock.state}. ${clock.ground}. ${clock.effect}`,
      at: `/clocks/${index}`,
      rule: `clock/${clock.id}`,
      source: clock.source,
    },
    {
      says:
        clock.startedAt === null
          ? `It starts with "${starts}", which has not happened.`
          : `It started with "${starts}" at ${clock.startedAt}.`,
    },
    {
      says: `It runs ${length} ${unit}${counted.length === 0 ? '' : ` (${counted.join('; ')})`} in the dates of ${of.claim.zone}. ${end}.`,
    },
    ...(typeof length === 'string' ? parameterStep(length, { ...of, on: clock.startedAt?.slice(0, 10) ?? of.on }) : []),
    {
      says:
        stopped === undefined
          ? `"${stops}", which stops it, has not happened.`
          : `"${stops}" stops it; it happened at ${stopped}.`,
    },
    { says: `It is judged as of ${of.claim.asOf}.` },
  ];
}

/** Why an element of the case against the carrier is met, missing or contradicted. */
export function whyElement(of: Assessed, [index = '', part = '', place = '']: readonly string[]): WhyStep[] {
  const cases = of.assessment.elements.filter((_, at) => index === '' || at === Number(index));
  return cases.flatMap((one) => {
    const list = part === 'rebuttal' ? one.rebuttal : one.elements;
    const chosen = list.filter((_, at) => part === '' || place === '' || at === Number(place));
    return [
      {
        says: `The case against the carrier over ${one.about} is ${one.standing}. ${one.because}`,
        at: `/elements/${of.assessment.elements.indexOf(one)}`,
      },
      ...(part === 'notice' ? [] : chosen.map(elementStep)),
    ];
  });
}

function elementStep({ says, state, because, mend, source }: CaseElement): WhyStep {
  return { says: `${says} ${state}: ${because}${mend === null ? '' : ` ${mend}`}`, source };
}

/** Why the goods' way has a gap, or who held them. */
export function whyCustody(of: Assessed): WhyStep[] {
  const { stages, gaps } = of.assessment.custody;
  return [
    ...stages.map(({ stage, party, condition, gap }, index) => ({
      says: `${stage}: ${gap ?? `${party ?? 'nobody on record'}, ${condition ?? 'condition not on record'}`}.`,
      at: `/custody/stages/${index}`,
    })),
    { says: `From delivery.custody of the claim file. ${gaps.join(' ')}`.trim() },
  ];
}

/** Why something must still be known. */
export function whyNeed(of: Assessed, [index = '']: readonly string[]): WhyStep[] {
  const needs = of.assessment.needs.filter((_, at) => index === '' || at === Number(index));
  if (needs.length === 0) return [{ says: 'Everything that the policy and the clocks ask for is known.' }];
  return needs.flatMap(({ what, ask, why }) => [
    { says: `${ask} ${why}` },
    ...of.questions
      .flatMap(({ evaluation }) =>
        evaluation.needs
          .filter(({ fact }) => fact === what)
          .map(({ decision }) => ({ says: `The decision "${decision}" asks for "${what}".` })),
      )
      .slice(0, 1),
  ]);
}

/** Where a rule fired, with the cells that had to hold. */
export function whyRule(of: Assessed, [index = '']: readonly string[]): WhyStep[] {
  const rules = of.assessment.rules.filter((_, at) => index === '' || at === Number(index));
  return rules.flatMap((rule) => {
    const question = of.questions.find(({ evaluation }) =>
      evaluation.fired.some((fired) => `${fired.decision}/${fired.rule}` === rule),
    );
    const decision = rule.slice(0, rule.lastIndexOf('/'));
    return question?.of.about === undefined ? [] : stepsOfRule(of, question.of.about, decision, rule);
  });
}

function stepsOfRule(of: Assessed, about: string, decision: string, rule: string): WhyStep[] {
  const option = ['refund', 'allowance', 'part', 'unit', 'visit', 'none'];
  const all = [
    answerSteps(of, about, decision),
    ...option.map((one) => answerSteps(of, about, decision, { option: one })),
  ];
  const origins = of.assessment.findings.flatMap(({ origins: found }) => found.map(({ origin }) => origin));
  const byOrigin = origins.map((origin) => answerSteps(of, about, decision, { origin }));
  return [...all, ...byOrigin].find((steps) => steps.some((step) => step.rule === rule)) ?? [];
}

/** Why the service proposes by itself, or why it does not. */
export function whyVerdict(of: Assessed, part: string): WhyStep[] {
  const { verdict, reasons } = of.assessment;
  const safety = of.assessment.responsibility.flatMap(({ about }) => answerSteps(of, about, 'safety'));
  return [
    { says: verdict === 'proposed' ? 'Nothing stands against proposing it.' : reasons.join(' '), at: '/reasons' },
    ...(part === 'caution'
      ? [{ says: 'The caution of the policy, and those that the hazard at hand calls for.' }]
      : []),
    ...safety,
    ...parameterStep('second person above', of),
  ];
}
