import { money, moneyDecimal } from '../../kernel/money.js';
import { PARTIES, type Party } from '../../kernel/vocabulary.js';
import type { Facts } from '../../policies/policies.contract.js';
import type { DemandCap, Transport } from '../adjudication.contract.js';
import {
  CAP_BASES,
  convertSdr,
  declaredLimit,
  kilogramsOf,
  poundsOf,
  releasedLimit,
  sdrPackageOrKg,
  sdrPerKg,
  sdrText,
  type CapBasis,
  type Limit,
  type LimitMoney,
  type SdrLimit,
} from './liability-caps.js';
import type { JudgedClaim, JudgedModel } from './judged-case.js';
import { MOST_MINOR } from './read-values.js';
import { PolicyMisfit, type KnownCase, type PolicyRun } from './policy-run.js';

/** What a limit is worked out from. */
export interface CapInputs {
  readonly claim: JudgedClaim;
  readonly model: JudgedModel;
  readonly run: PolicyRun;
  readonly money: LimitMoney;
}

/** Facts about the carriage that the decision `cap` may use. What the claim file leaves out is not known. */
export function capFacts(party: Party, claim: JudgedClaim, model: JudgedModel): Facts {
  const { transport } = claim;
  const grams = transport?.grossGrams ?? model.grossGrams;
  const weights = { 'limited party': party, 'weight lb': poundsOf(grams), 'weight kg': kilogramsOf(grams) };
  if (transport === undefined) return weights;
  const as = { currency: claim.order.currency, rounding: 'half up' } as const;
  const declared = exactly(() => declaredOf(transport, grams, as));
  return {
    ...weights,
    transport: transport.regime,
    ...(declared === 'too large' ? {} : { 'declared value': declared ? decimal(declared.limitMinor, as) : null }),
    ...(transport.writtenAgreement === undefined ? {} : { 'written agreement': transport.writtenAgreement }),
    ...(transport.higherValueOffered === undefined ? {} : { 'higher value offered': transport.higherValueOffered }),
    conversion: transport.conversion ?? false,
  };
}

function decimal(minor: number, { currency }: LimitMoney): string {
  return moneyDecimal(money(minor, currency));
}

/**
 * The limit of one party's liability under the policy. Where a fact or a rate is missing, the limit is `not known` and the run
 * remembers what is wanted.
 * @param base facts of the claim that the policy may use beside those of the carriage
 * @throws PolicyMisfit when the policy puts what is cut off on the customer or on the limited party itself
 */
export function capOf(
  party: Party,
  base: KnownCase,
  inputs: CapInputs,
): DemandCap & { readonly freightAdded: boolean } {
  const { run, claim, model } = inputs;
  if (!run.policy.document.decisions.some(({ id }) => id === 'cap')) {
    return { ...NO_CAP, basis: 'none', because: 'The policy sets no limit for any party.' };
  }
  const asked = run.look(run.with(base, capFacts(party, claim, model)), ['cap']);
  const fired = asked.fired.find(({ decision }) => decision === 'cap');
  if (asked.outcomes['basis'] === BY_A_PERSON) {
    run.want([{ fact: 'limit', ask: LIMIT_ASK, decision: 'cap' }]);
    return { ...NO_CAP, rule: fired?.rule ?? null, because: fired?.because ?? '', source: fired?.source ?? null };
  }
  const basis = CAP_BASES.find((candidate) => candidate === asked.outcomes['basis']);
  if (basis === undefined) {
    run.want(asked.needs);
    const because =
      asked.needs.length === 0
        ? 'No rule of the policy speaks of this carriage, so a person must find the limit.'
        : `Not known yet: ${[...new Set(asked.needs.map(({ fact }) => fact))].join(', ')}.`;
    if (asked.needs.length === 0) run.want([{ fact: 'limit', ask: LIMIT_ASK, decision: 'cap' }]);
    return { ...NO_CAP, because };
  }
  const fallsOn = PARTIES.find((candidate) => candidate === asked.outcomes['falls on']) ?? null;
  const why = { rule: fired?.rule ?? null, because: fired?.because ?? '', source: fired?.source ?? null };
  if (basis === 'none') return { ...NO_CAP, ...why, basis, fallsOn };
  if (fallsOn === null || fallsOn === 'customer' || fallsOn === party) {
    throw new PolicyMisfit(
      `its decision "cap" puts what is cut off from the ${party} on ${fallsOn === null ? 'nobody' : `the ${fallsOn}`}`,
    );
  }
  const limit = exactLimit(basis, inputs);
  const freightAdded = asked.outcomes['freight added'] === true;
  if (limit === undefined) return { ...NO_CAP, ...why, fallsOn };
  return { basis, ...limit, ...why, fallsOn, freightAdded };
}

/** What a policy gives as basis where the law has a limit that cannot be worked out from what is known here. */
const BY_A_PERSON = 'by a person';

const LIMIT_ASK = "What limits the carrier's liability for this carriage? Ask a licensed professional.";

const NO_CAP = {
  basis: 'not known',
  limitMinor: null,
  sdr: null,
  working: 'no limit applied',
  fallsOn: null,
  rule: null,
  because: '',
  source: null,
  freightAdded: false,
} as const;

/** Most that a limit may come to: with the carriage charges on top it is still kept exactly. */
const HIGHEST_LIMIT = Number.MAX_SAFE_INTEGER - MOST_MINOR;

/** The limit, or undefined where something is wanted first; a limit beyond what can be kept exactly asks for its figures again. */
function exactLimit(basis: Exclude<CapBasis, 'none'>, inputs: CapInputs): Limit | undefined {
  const limit = exactly(() => limitOf(basis, inputs));
  if (limit !== 'too large') return limit;
  inputs.run.want([{ fact: 'limit', ask: TOO_LARGE_ASK, decision: 'cap' }]);
  return undefined;
}

function exactly(work: () => Limit | undefined): Limit | undefined | 'too large' {
  try {
    const limit = work();
    return limit === undefined || limit.limitMinor <= HIGHEST_LIMIT ? limit : 'too large';
  } catch (error) {
    if (error instanceof RangeError) return 'too large';
    throw error;
  }
}

const TOO_LARGE_ASK =
  'Which weight, rate and declared value are right? The limit that they give is more than can be kept exactly.';

function limitOf(basis: Exclude<CapBasis, 'none'>, inputs: CapInputs): Limit | undefined {
  const { claim, model, run, money: as } = inputs;
  const grams = claim.transport?.grossGrams ?? model.grossGrams;
  switch (basis) {
    case 'released': {
      const perPound = parameter(run, 'released value per lb');
      return perPound === undefined ? undefined : releasedLimit(perPound, [poundsOf(grams)], as);
    }
    case 'declared': {
      const declared = claim.transport && declaredOf(claim.transport, grams, as);
      if (!declared) run.want([{ fact: 'declared value', ask: DECLARED_ASK, decision: 'cap' }]);
      return declared;
    }
    case 'sdr per kg': {
      const perKg = parameter(run, `sdr per kg ${claim.transport?.regime === 'air' ? 'air' : 'road'}`);
      return perKg === undefined ? undefined : inMoney(sdrPerKg(perKg, grams), inputs);
    }
    case 'sdr package or kg': {
      const perPackage = parameter(run, 'sdr per package sea');
      const perKg = parameter(run, 'sdr per kg sea');
      if (perPackage === undefined || perKg === undefined) return undefined;
      const packages = claim.transport?.packages ?? 1;
      return inMoney(sdrPackageOrKg({ perPackage, perKg }, { packages, grams }), inputs);
    }
  }
}

const DECLARED_ASK = 'Which value was declared or agreed in writing, as a sum or for each pound?';

function declaredOf(transport: Transport, grams: number, as: LimitMoney): Limit | undefined {
  if (transport.declaredValueMinor !== undefined)
    return declaredLimit({ valueMinor: transport.declaredValueMinor }, as);
  if (transport.agreedPerPoundMinor === undefined) return undefined;
  return declaredLimit({ perPoundMinor: transport.agreedPerPoundMinor, pounds: poundsOf(grams) }, as);
}

/** The rate that a person entered for this carriage, else the policy's on the day as of which the claim is judged; never a guess. */
function inMoney(limit: SdrLimit, { claim, run, money: as }: CapInputs): Limit | undefined {
  const on = Temporal.Instant.from(claim.asOf).toZonedDateTimeISO(claim.zone).toPlainDate().toString();
  const rate = claim.transport?.sdrRate?.rate ?? run.policy.parameter('sdr rate', on);
  if (rate !== undefined) return convertSdr(limit, rate, as);
  const ask = `How much ${as.currency} is one special drawing right on the day that counts? The limit is ${sdrText(limit.hundredths)} SDR.`;
  run.want([{ fact: 'sdr rate', ask, decision: 'cap' }]);
  return undefined;
}

function parameter(run: PolicyRun, name: string): string | undefined {
  const value = run.policy.parameter(name, run.on);
  if (value === undefined) {
    run.want([
      { fact: name, ask: `The policy has no value for "${name}" on ${run.on}; which one holds?`, decision: 'cap' },
    ]);
  }
  return value;
}
