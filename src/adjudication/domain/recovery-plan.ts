import { money, scaleMoney } from '../../kernel/money.js';
import { splitByWeight, WHOLE_BP } from '../../kernel/shares.js';
import { PARTIES, type Party } from '../../kernel/vocabulary.js';
import type { CompiledPolicy, Facts } from '../../policies/policies.contract.js';
import type {
  AmountLine,
  ClaimFile,
  DemandCap,
  RecoveryDemand,
  RecoveryPlan,
  Responsibility,
} from '../adjudication.contract.js';
import { figure, type LineBasis } from './amount-lines.js';
import { capOf, type CapInputs } from './cap-decision.js';
import type { HolidayLookup } from './claim-clocks.js';
import { claimDates, claimFacts } from './claim-facts.js';
import type { JudgedClaim, JudgedModel } from './judged-case.js';
import { underLimit } from './liability-caps.js';
import { PolicyRun, type KnownCase, type PolicyQuestion } from './policy-run.js';
import { costByFinding } from './remedy-choice.js';

/** What the limits of a claim's parties are found by. */
export interface RecoveryDocuments {
  readonly model: JudgedModel;
  readonly policy: CompiledPolicy;
  readonly isHoliday: HolidayLookup;
  /** Facts of the claim where they have been read already; absent: they are read once more. */
  readonly facts?: Facts;
}

/** Who pays what for a claim under the policy's limits. Pure; what a limit still needs is in the plan, not in the claim's own needs. */
export function recoveryPlan(
  claim: ClaimFile,
  documents: RecoveryDocuments,
  responsibility: readonly Responsibility[],
  costLines: readonly AmountLine[],
): RecoveryPlan {
  const facts = documents.facts ?? claimFacts(claim, claimDates(claim), false, documents.isHoliday);
  return plannedRecovery(claim, { ...documents, facts }, responsibility, costLines).plan;
}

/** The same for a claim whose facts have been read, with every question that was put to the policy. */
export function plannedRecovery(
  claim: JudgedClaim,
  documents: Omit<RecoveryDocuments, 'isHoliday'> & { readonly facts: Facts },
  responsibility: readonly Responsibility[],
  costLines: readonly AmountLine[],
): { readonly plan: RecoveryPlan; readonly questions: readonly PolicyQuestion[] } {
  const { policy, model, facts } = documents;
  const { currency } = claim.order;
  const run = new PolicyRun(policy, claim.transport?.damagedOn ?? String(facts['delivered on']));
  const base = run.about({ ...facts, 'safety stop': false });
  const money = { currency, rounding: policy.document.money.rounding };
  const work: PlanWork = { inputs: { claim, model, run, money }, base };
  const salvage = salvageByMatter(responsibility, costLines);
  const own = PARTIES.filter((party) => party !== 'customer').flatMap((party) =>
    ownDemand(party, responsibility, { salvage, work }),
  );
  const plan = {
    currency,
    demands: withWhatFell(own, currency),
    customerShareMinor: amountOf('customer', responsibility),
    unassignedMinor: responsibility
      .filter(({ shares }) => shares.length === 0)
      .reduce((sum, { costMinor }) => sum + costMinor, 0),
    needs: run.needs(),
  };
  return { plan, questions: run.questions };
}

interface PlanWork {
  readonly inputs: CapInputs;
  readonly base: KnownCase;
}

/** A party's own part of the cost under its own limit; none where the part is nothing. */
function ownDemand(
  party: Party,
  responsibility: readonly Responsibility[],
  by: { readonly salvage: readonly number[]; readonly work: PlanWork },
): RecoveryDemand[] {
  const { inputs, base } = by.work;
  const basis: LineBasis = { ...inputs.money, about: '' };
  const parts = responsibility.flatMap((matter, index) => partOf(party, matter, by.salvage[index] ?? 0, basis));
  const netMinor = sum(parts.map(({ netMinor: minor }) => minor));
  if (netMinor === 0) return [];
  const salvageMinor = sum(parts.map(({ salvageMinor: minor }) => minor));
  const { freightAdded, ...found } = capOf(party, base, inputs);
  const cap = freightAdded ? withFreight(found, netMinor, inputs.claim) : found;
  const { payableMinor, cutMinor } = underLimit(netMinor, cap.limitMinor);
  const lines = parts.map(({ line }) => line);
  if (salvageMinor > 0) lines.push(salvageLine(basis, salvageMinor));
  if (cutMinor > 0) lines.push(cutLine(basis, cutMinor, cap));
  return [{ party, lines, lossMinor: netMinor + salvageMinor, salvageMinor, cap, cutMinor, totalMinor: payableMinor }];
}

interface Part {
  readonly netMinor: number;
  readonly salvageMinor: number;
  readonly line: AmountLine;
}

function partOf(party: Party, matter: Responsibility, salvageMinor: number, basis: LineBasis): Part[] {
  const at = matter.shares.findIndex((share) => share.party === party);
  const share = matter.shares[at];
  const netMinor = matter.amounts.find((amount) => amount.party === party)?.amountMinor ?? 0;
  if (share === undefined || netMinor === 0) return [];
  const ofSalvage =
    splitByWeight(
      salvageMinor,
      matter.shares.map(({ bp }) => bp),
    )[at] ?? 0;
  const gross = netMinor + ofSalvage;
  const whole = share.bp === WHOLE_BP;
  const of = figure(basis, matter.costMinor + salvageMinor);
  const working = whole
    ? `all of ${of}`
    : `${(share.bp / 100).toFixed(2)} % of ${of} = ${figure(basis, gross)}, parts rounded so that they sum`;
  const line = {
    id: `share ${matter.about}`,
    says: `Cost of putting right: ${matter.about}`,
    amountMinor: gross,
    working,
    about: matter.about,
  };
  return [{ netMinor, salvageMinor: ofSalvage, line }];
}

/** The salvage that was credited, by matter. One line for the whole claim is shared out as the cost was. */
function salvageByMatter(responsibility: readonly Responsibility[], costLines: readonly AmountLine[]): number[] {
  const credited = costLines.filter(({ id }) => id === 'salvage');
  const alone = responsibility.map(({ about }) =>
    sum(credited.filter((line) => line.about === about).map(({ amountMinor }) => -amountMinor)),
  );
  const wide = sum(credited.map(({ amountMinor }) => -amountMinor)) - sum(alone);
  if (wide === 0 || responsibility.length === 0) return alone;
  const shared = costByFinding(
    wide,
    responsibility.map(({ costMinor }) => costMinor),
  );
  return alone.map((minor, index) => minor + (shared[index] ?? 0));
}

/**
 * Carriage charges come on top of the limit, in full for a total loss and otherwise in proportion to the loss (CMR art. 23(4), from
 * memory). The proportion is taken to the price paid and rounded down, so that the limit is never put too high.
 */
function withFreight(cap: DemandCap, lossMinor: number, claim: JudgedClaim): DemandCap {
  const { freightMinor } = claim.transport ?? {};
  if (freightMinor === undefined || cap.limitMinor === null) return cap;
  const { currency, priceMinor } = claim.order;
  const part = scaleMoney(
    money(freightMinor, currency),
    BigInt(Math.min(lossMinor, priceMinor)),
    BigInt(priceMinor),
    'down',
  ).amountMinor;
  const limitMinor = cap.limitMinor + part;
  const basis: LineBasis = { currency, rounding: 'down', about: '' };
  const working = `${cap.working}; + carriage charges in proportion ${figure(basis, part)} = ${figure(basis, limitMinor)}`;
  return { ...cap, limitMinor, working };
}

/** Puts what each limit cut off on the party that the policy names. */
function withWhatFell(own: readonly RecoveryDemand[], currency: string): RecoveryDemand[] {
  return PARTIES.flatMap((party) => {
    const demand = own.find((candidate) => candidate.party === party);
    const fell = own.filter(({ cap, cutMinor }) => cutMinor > 0 && cap.fallsOn === party);
    if (fell.length === 0) return demand ? [demand] : [];
    const basis: LineBasis = { currency, rounding: 'down', about: 'claim' };
    const lines = fell.map((from) => fellLine(basis, from));
    const added = sum(lines.map(({ amountMinor }) => amountMinor));
    if (demand) return [{ ...demand, lines: [...demand.lines, ...lines], totalMinor: demand.totalMinor + added }];
    return [{ party, lines, lossMinor: 0, salvageMinor: 0, cap: NOTHING_OF_ITS_OWN, cutMinor: 0, totalMinor: added }];
  });
}

const NOTHING_OF_ITS_OWN: DemandCap = {
  basis: 'none',
  limitMinor: null,
  sdr: null,
  working: 'no limit applied',
  fallsOn: null,
  rule: null,
  because: 'Only what the limit of another party cut off falls here.',
  source: null,
};

function salvageLine(basis: LineBasis, salvageMinor: number): AmountLine {
  const working = `${figure(basis, salvageMinor)}, its part of what the goods still fetch`;
  return { id: 'salvage', says: 'Less salvage', amountMinor: -salvageMinor, working, about: 'claim' };
}

function cutLine(basis: LineBasis, cutMinor: number, cap: DemandCap): AmountLine {
  const working = `limit ${figure(basis, cap.limitMinor ?? 0)}: ${cap.working}`;
  return {
    id: 'over the limit',
    says: 'Less what is over the limit of liability',
    amountMinor: -cutMinor,
    working,
    about: 'claim',
  };
}

function fellLine(basis: LineBasis, from: RecoveryDemand): AmountLine {
  const working = `${figure(basis, from.cutMinor)}, over the ${from.party}'s limit of ${figure(basis, from.cap.limitMinor ?? 0)}`;
  return {
    id: `over the limit of the ${from.party}`,
    says: `What the ${from.party}'s limit cut off`,
    amountMinor: from.cutMinor,
    working,
    about: 'claim',
  };
}

function amountOf(party: Party, responsibility: readonly Responsibility[]): number {
  return sum(responsibility.map(({ amounts }) => amounts.find((amount) => amount.party === party)?.amountMinor ?? 0));
}

function sum(amounts: readonly number[]): number {
  return amounts.reduce((total, minor) => total + minor, 0);
}
