import type { Party } from '../../kernel/vocabulary.js';
import type { AmountLine, RecoveryDemand, RemedyOption, Responsibility } from '../adjudication.contract.js';
import { capFacts } from './cap-decision.js';
import { claimDates, claimFacts } from './claim-facts.js';
import { PolicyRun } from './policy-run.js';
import {
  amount,
  answerSteps,
  evaluationSteps,
  parameterStep,
  percent,
  sumSteps,
  type Assessed,
  type WhyStep,
} from './why-steps.js';

/** Why a party answers for its share, and what that comes to. */
export function whyResponsibility(of: Assessed, [index = '', part = '', place = '']: readonly string[]): WhyStep[] {
  const one = of.assessment.responsibility[Number(index)];
  if (one === undefined) return [];
  const shares = shareSteps(of, one, `/responsibility/${index}`);
  if (part === 'costMinor') return costOfMatter(of, one);
  if (part !== 'amounts') return [...shares, ...(part === 'shares' ? [] : costOfMatter(of, one))];
  const { party, amountMinor } = one.amounts[Number(place)] ?? {};
  const whose = party === undefined ? 'The amounts are' : `The ${party}'s ${amount(amountMinor ?? 0, of)} is`;
  const says = `${whose} the cost of ${amount(one.costMinor, of)} split by the basis points, parts rounded by largest remainder so that they sum.`;
  return [{ says, at: `/responsibility/${index}/shares` }, ...shares, ...costOfMatter(of, one)];
}

function shareSteps(of: Assessed, one: Responsibility, at: string): WhyStep[] {
  const shown = one.shares.map(({ party, bp }) => `${party} ${bp} basis points`).join(', ');
  const steps: WhyStep[] = [
    { says: `Who answers for ${one.about}: ${shown || 'nobody is named'}. ${one.because}`, at },
    ...answerSteps(of, one.about, 'responsibility'),
  ];
  if (one.mode !== 'proportional') return steps;
  const finding = of.assessment.findings.findIndex(({ subject }) => subject === one.about);
  const origins = of.assessment.findings[finding]?.origins ?? [];
  return [
    ...steps,
    ...origins.flatMap(({ origin, probability }, place) => [
      { says: `Origin ${origin} has ${percent(probability)}.`, at: `/findings/${finding}/origins/${place}` },
      ...answerSteps(of, one.about, 'party for origin', { origin }),
    ]),
    ...parameterStep('share floor', of),
  ];
}

function costOfMatter(of: Assessed, { about, costMinor }: Responsibility): WhyStep[] {
  const { costLines, costTotalMinor, chosen } = of.assessment.remedy;
  const own = costLines.filter((line) => line.about === about);
  const others = of.assessment.responsibility.length > 1;
  const wide = others && chosen.some((one) => one.about.length > 1);
  const says = wide
    ? `${about} bears ${amount(costMinor, of)} of ${amount(costTotalMinor, of)}: one remedy ends all matters, and its cost is split by what each would have cost on its own.`
    : `${about} costs ${amount(costMinor, of)}, the sum of its lines.`;
  return [{ says, at: '/remedy/costTotalMinor' }, ...sumSteps('/remedy/costLines', wide ? costLines : own, of)];
}

/** Why a remedy was chosen, admitted or barred, and why it comes to its amounts. */
export function whyRemedy(of: Assessed, [part = '', place = '']: readonly string[]): WhyStep[] {
  const { remedy } = of.assessment;
  switch (part) {
    case 'currency':
      return [{ says: `Order, model and policy are all in ${remedy.currency}.` }];
    case 'options':
      return remedy.options.flatMap((option, index) =>
        place === '' || Number(place) === index ? optionSteps(of, option, `/remedy/options/${index}`) : [],
      );
    case 'customerLines':
      return remedy.customerLines.flatMap((line, index) =>
        place === '' || Number(place) === index ? customerSteps(of, line) : [],
      );
    case 'customerTotalMinor':
      return [
        { says: `The customer gets ${amount(remedy.customerTotalMinor, of)}, the sum of these lines.` },
        ...sumSteps('/remedy/customerLines', remedy.customerLines, of),
        ...chosenSteps(of),
      ];
    case 'costLines':
      return [
        ...sumSteps(
          '/remedy/costLines',
          remedy.costLines.filter((_, index) => place === '' || Number(place) === index),
          of,
        ),
        ...chosenSteps(of),
      ];
    case 'costTotalMinor':
      return [
        { says: `The remedy costs ${amount(remedy.costTotalMinor, of)} in all, the sum of these lines.` },
        ...sumSteps('/remedy/costLines', remedy.costLines, of),
        ...chosenSteps(of),
      ];
    default:
      return chosenSteps(of, part === 'chosen' && place !== '' ? Number(place) : undefined);
  }
}

function optionSteps(of: Assessed, option: RemedyOption, at: string): WhyStep[] {
  const { about, remedy, admissible, rank, expectedCostMinor, because } = option;
  const cost = admissible ? `, rank ${rank}, expected cost ${amount(expectedCostMinor, of)}` : '';
  return [
    { says: `${remedy} for ${about} is ${admissible ? 'admissible' : 'barred'}${cost}. ${because}`, at },
    ...answerSteps(of, about, 'remedy option', { option: remedy }),
    ...answerSteps(of, about, 'terms', { option: remedy }),
  ];
}

function chosenSteps(of: Assessed, only?: number): WhyStep[] {
  const { chosen, options } = of.assessment.remedy;
  return chosen.flatMap((one, index) => {
    if (only !== undefined && only !== index) return [];
    const behind = options.filter(
      ({ remedy, about, admissible }) => admissible && remedy === one.remedy && one.about.includes(about),
    );
    return [
      {
        says: `${one.remedy} for ${one.about.join(', ')} is the admissible option of lowest rank, then of lowest expected cost. ${one.because}`,
        at: `/remedy/chosen/${index}`,
      },
      ...behind.flatMap((option) => answerSteps(of, option.about, 'remedy option', { option: option.remedy })),
    ];
  });
}

/** Which part of the order a line to the customer takes its amount from. */
const FROM_ORDER: Readonly<Record<string, string>> = {
  price: 'order.priceMinor',
  'pro rata': 'order.priceMinor',
  allowance: 'order.priceMinor',
  restocking: 'order.priceMinor',
  'use deduction': 'order.priceMinor',
  tax: 'order.taxMinor',
  delivery: 'order.deliveryMinor',
};

function customerSteps(of: Assessed, line: AmountLine): WhyStep[] {
  const { remedy } = of.assessment;
  const paying = remedy.chosen.filter((one) => one.about.includes(line.about) || line.about === 'claim');
  const from = FROM_ORDER[line.id];
  return [
    {
      says: `${line.says}: ${amount(line.amountMinor, of)}. ${line.working}${from === undefined ? '' : `, from ${from} of the claim file`}.`,
    },
    ...paying.flatMap((one) => one.about.flatMap((about) => answerSteps(of, about, 'terms', { option: one.remedy }))),
    ...(line.id === 'use deduction' ? parameterStep('use life months', of) : []),
    ...chosenSteps(of),
  ];
}

/** Why this much can be demanded of a party. */
export function whyRecovery(
  of: Assessed,
  [part = '', place = '', field = '', index = '']: readonly string[],
): WhyStep[] {
  const { recovery, responsibility } = of.assessment;
  if (part === 'customerShareMinor') {
    return [
      {
        says: `${amount(recovery.customerShareMinor, of)} answers to the customer's own doing. The service demands it of nobody; a person decides.`,
      },
      ...responsibility.flatMap((one, at) => shareSteps(of, one, `/responsibility/${at}`)),
    ];
  }
  if (part === 'unassignedMinor') {
    const open = responsibility.filter(({ shares }) => shares.length === 0);
    return [
      {
        says: `${amount(recovery.unassignedMinor, of)} is the cost of matters for which nobody is named: ${open.map(({ about, because }) => `${about} (${because})`).join('; ') || 'there is none'}.`,
      },
    ];
  }
  if (part === 'needs')
    return recovery.needs
      .filter((_, at) => place === '' || at === Number(place))
      .map(({ ask, why }) => ({ says: `${ask} ${why}` }));
  if (part === 'currency') return [{ says: `The order is in ${recovery.currency}.` }];
  const demands = recovery.demands.filter((_, at) => place === '' || at === Number(place));
  if (demands.length === 0)
    return [{ says: 'Nobody is named whom anything could be demanded of.', at: '/responsibility' }];
  return demands.flatMap((demand) => demandSteps(of, demand, field, index));
}

function demandSteps(of: Assessed, demand: RecoveryDemand, field: string, index: string): WhyStep[] {
  const { party, lines, lossMinor, salvageMinor, cutMinor, totalMinor } = demand;
  const at = `/recovery/demands/${of.assessment.recovery.demands.indexOf(demand)}`;
  const own = field === 'lines' && index !== '' ? lines.filter((_, place) => place === Number(index)) : lines;
  const says = `${amount(totalMinor, of)} is demanded of the ${party}: loss ${amount(lossMinor, of)} less salvage ${amount(salvageMinor, of)}, less ${amount(cutMinor, of)} over its limit, and what the limits of others put on it.`;
  const shares = of.assessment.responsibility.flatMap((one, place) =>
    one.shares.some((share) => share.party === party) ? shareSteps(of, one, `/responsibility/${place}`) : [],
  );
  return [
    { says, at },
    ...own.map((line) => ({
      says: `${line.says}: ${amount(line.amountMinor, of)} (${line.working}).`,
      at: `${at}/lines/${lines.indexOf(line)}`,
    })),
    ...capSteps(of, demand, `${at}/cap`),
    ...(field === 'cap' ? [] : shares),
  ];
}

/** The limit is worked out beside the assessment, so its rule is asked for once more with the same facts. */
function capSteps(of: Assessed, { party, cap }: RecoveryDemand, at: string): WhyStep[] {
  const says = `Limit of the ${party}: ${cap.limitMinor === null ? cap.basis : amount(cap.limitMinor, of)}. Worked out: ${cap.working}. ${cap.because}`;
  return [{ says, at, ...(cap.source === null ? {} : { source: cap.source }) }, ...capRule(of, party)];
}

function capRule(of: Assessed, party: Party): WhyStep[] {
  const { claim, policy, model, isHoliday } = of;
  if (!policy.document.decisions.some(({ id }) => id === 'cap')) return [];
  const dates = claimDates(claim);
  const on = claim.transport?.damagedOn ?? dates.delivered.toString();
  const run = new PolicyRun(policy, on);
  run.look(run.with(run.about(claimFacts(claim, dates, false, isHoliday)), capFacts(party, claim, model)), ['cap']);
  const limits = Object.keys(policy.document.parameters).filter((name) => isLimitOf(name, claim.transport?.regime));
  const basis = run.questions[0]?.evaluation.outcomes['basis'];
  return [
    ...run.questions.flatMap(({ evaluation }) => evaluationSteps(evaluation, { ...of, on })),
    ...(typeof basis === 'string' && basis.startsWith('sdr')
      ? limits.flatMap((name) => parameterStep(name, { ...of, on }))
      : []),
    ...(basis === 'released' ? parameterStep('released value per lb', { ...of, on }) : []),
  ];
}

function isLimitOf(parameter: string, regime: string | undefined): boolean {
  const kind = regime === 'air' || regime === 'sea' ? regime : 'road';
  return parameter.startsWith('sdr per') && parameter.endsWith(kind);
}

/** Why a total above this takes a second person. */
export function whySecondPerson(of: Assessed): WhyStep[] {
  const says = `A total above ${amount(of.assessment.secondPersonAboveMinor, of)} takes a second person; a figure finer than the currency is cut downwards.`;
  return [{ says }, ...parameterStep('second person above', of)];
}
