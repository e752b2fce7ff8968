import { money, moneyDecimal } from '../../kernel/money.js';
import { REMEDIES, type Remedy } from '../../kernel/vocabulary.js';
import type { OutcomeValue } from '../../policies/policies.contract.js';
import type { AmountLine, RemedyOption } from '../adjudication.contract.js';
import { optionFacts } from './claim-facts.js';
import { allowanceMoney, refundMoney, type CustomerMoney, type PaidAndAge, type Terms } from './customer-money.js';
import type { JudgedClaim, JudgedMatter, JudgedModel } from './judged-case.js';
import type { KnownCase, PolicyRun } from './policy-run.js';
import { expectedCost } from './remedy-costs.js';

/** An option with the money that it would give to the customer. */
export interface WorkedOption extends RemedyOption {
  readonly customerLines: readonly AmountLine[];
  readonly customerMinor: number;
}

/** What the options of one matter are worked out from. */
export interface OptionBasis {
  readonly matter: JudgedMatter;
  readonly facts: KnownCase;
  readonly claim: JudgedClaim;
  readonly model: JudgedModel;
  readonly paid: PaidAndAge;
}

/** Rank of an option that the policy did not rank: behind every other. */
const UNRANKED = REMEDIES.length + 1;

/** Every remedy as an option for one matter, in the order of REMEDIES, with why it is or is not admissible and what it would cost. */
export function remedyOptions(basis: OptionBasis, run: PolicyRun): WorkedOption[] {
  return REMEDIES.map((remedy) => remedyOption(remedy, basis, run));
}

function remedyOption(remedy: Remedy, basis: OptionBasis, run: PolicyRun): WorkedOption {
  const { matter, claim, model, paid } = basis;
  const facts = run.with(basis.facts, optionFacts(remedy, claim.wish));
  const about = matter.about;
  if (remedy === 'part' && matter.parts.length === 0) {
    const why =
      matter.component === null
        ? 'No component is in question that a part could replace.'
        : `The catalogue has no spare for the ${matter.component}.`;
    return barred(about, remedy, UNRANKED, 'catalogue', why);
  }
  const judged = judgedByPolicy(facts, run);
  const customer = customerMoney(remedy, facts, { run, paid, about, barred: !judged.admissible });
  if (!customer.ok) {
    if (judged.admissible) return barred(about, remedy, judged.rank, 'terms', customer.problem);
    return barred(about, remedy, judged.rank, judged.rule, judged.because);
  }
  const inputs = { model, parts: matter.parts, rounding: paid.rounding, customerMinor: customer.totalMinor };
  const cost = expectedCost(remedy, inputs);
  return {
    about,
    remedy,
    admissible: judged.admissible,
    rank: judged.rank,
    expectedCostMinor: cost.amountMinor,
    rule: judged.rule,
    because: `${judged.because} ${capital(cost.working)}.`,
    customerLines: customer.lines,
    customerMinor: customer.totalMinor,
  };
}

const NO_MONEY: CustomerMoney = { ok: true, lines: [], totalMinor: 0 };

function customerMoney(
  remedy: Remedy,
  facts: KnownCase,
  by: { readonly run: PolicyRun; readonly paid: PaidAndAge; readonly about: string; readonly barred: boolean },
): CustomerMoney {
  if (remedy !== 'refund' && remedy !== 'allowance') return NO_MONEY;
  const asked = by.barred ? by.run.look(facts, ['terms']) : by.run.ask(facts, ['terms']);
  const terms = readTerms(asked.outcomes);
  if (terms === undefined) {
    if (!by.barred) by.run.want(asked.needs);
    return { ok: false, problem: 'The policy has no complete terms for it, so its amount is not known.' };
  }
  const work = remedy === 'refund' ? refundMoney : allowanceMoney;
  return work(terms, by.paid, by.about);
}

/** Reads the outcomes of the `terms` decision; undefined when one is missing or of another type. */
export function readTerms(outcomes: Readonly<Record<string, OutcomeValue>>): Terms | undefined {
  const percent = (name: string): string | undefined => {
    const value = outcomes[name];
    return typeof value === 'string' ? value : Number.isSafeInteger(value) ? String(value) : undefined;
  };
  const pricePercent = percent('price percent');
  const restockingPercent = percent('restocking percent');
  const allowancePercent = percent('allowance percent');
  const { tax, delivery } = outcomes;
  const useDeduction = outcomes['use deduction'];
  const proRata = outcomes['pro rata'];
  if (pricePercent === undefined || restockingPercent === undefined || allowancePercent === undefined) return undefined;
  if (tax !== 'full' && tax !== 'proportional' && tax !== 'none') return undefined;
  if (typeof delivery !== 'boolean' || typeof useDeduction !== 'boolean' || typeof proRata !== 'boolean') {
    return undefined;
  }
  return { pricePercent, tax, delivery, useDeduction, restockingPercent, allowancePercent, proRata };
}

function judgedByPolicy(
  facts: KnownCase,
  run: PolicyRun,
): { readonly admissible: boolean; readonly rank: number; readonly rule: string; readonly because: string } {
  const asked = run.ask(facts, ['remedy option']);
  const { admissible, rank } = asked.outcomes;
  const rule = asked.fired.find(({ decision }) => decision === 'remedy option');
  if (typeof admissible !== 'boolean') {
    run.want(asked.needs);
    const lacking = [...new Set(asked.needs.map(({ fact }) => fact))].join(', ');
    const because = lacking === '' ? 'No rule of the policy speaks to it.' : `Not known yet: ${lacking}.`;
    return { admissible: false, rank: UNRANKED, rule: 'none', because };
  }
  return {
    admissible,
    rank: typeof rank === 'number' && Number.isInteger(rank) ? rank : UNRANKED,
    rule: rule?.rule ?? 'none',
    because: sentence(rule?.because ?? (admissible ? 'The policy allows it' : 'The policy does not allow it')),
  };
}

function barred(about: string, remedy: Remedy, rank: number, rule: string, because: string): WorkedOption {
  return {
    about,
    remedy,
    admissible: false,
    rank,
    expectedCostMinor: 0,
    rule,
    because,
    customerLines: [],
    customerMinor: 0,
  };
}

/** "123.45 USD", for sentences. */
export function amountShown(amountMinor: number, currency: string): string {
  return `${moneyDecimal(money(amountMinor, currency))} ${currency}`;
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

function sentence(text: string): string {
  return /[.!?]$/.test(text) ? text : `${text}.`;
}
