import type { Origin } from '../../kernel/vocabulary.js';
import type { WarrantyTerm } from '../../catalogue/catalogue.contract.js';
import type { CompiledPolicy, Facts } from '../../policies/policies.contract.js';
import type { ClaimFile } from '../adjudication.contract.js';
import type { HolidayLookup } from './claim-clocks.js';
import { clocksOfClaim } from './clocks-of-claim.js';
import { HolidaysAsked, thawedHolidays, type FrozenHolidays } from './frozen-holidays.js';
import type { CaseMatter, JudgedCase, JudgedClaim, JudgedModel, SuppliedPart } from './judged-case.js';

/**
 * A case as it stood when it was judged, as small as it can be kept: the facts, the money, the parts, what has happened, the holidays that
 * counted. A policy can be run on it again at any time; photos, answers and findings are not needed for that.
 */
export interface FrozenCase {
  readonly format: 'frozen-case/1';
  readonly parties: ClaimFile['parties'];
  readonly claim: JudgedClaim;
  readonly model: JudgedModel;
  readonly on: string;
  readonly ageMonths: number;
  readonly base: Facts;
  readonly matters: readonly FrozenMatter[];
  /** How many reasons outside the policy sent it to a person. */
  readonly outside: number;
  readonly holidays?: FrozenHolidays;
}

export interface FrozenMatter {
  readonly about: string;
  readonly component: CaseMatter['matter']['component'];
  readonly facts: Facts;
  /** Absent where there is no finding. */
  readonly origins?: readonly { readonly origin: Origin; readonly probability: number }[];
  readonly parts: readonly SuppliedPart[];
  readonly warranty?: WarrantyTerm;
  readonly rebutted: boolean;
}

/** Takes out of a case what has to be kept. */
export function freeze(
  judged: JudgedCase,
  around: {
    readonly parties: ClaimFile['parties'];
    readonly outside: number;
    readonly by: { readonly policy: CompiledPolicy; readonly isHoliday: HolidayLookup };
  },
): FrozenCase {
  const { on, ageMonths, base, matters } = judged;
  const asked = new HolidaysAsked(around.by.isHoliday);
  // Counted with every clock in play, so that all days that may matter are kept.
  clocksOfClaim(judged.claim, { policy: around.by.policy, isHoliday: asked.lookup }, true);
  const holidays = asked.frozen();
  const { retailer, carrier, maker } = around.parties;
  return {
    format: 'frozen-case/1',
    parties: { retailer, carrier, maker },
    claim: claimOf(judged.claim),
    model: modelOf(judged.model),
    on,
    ageMonths,
    base,
    matters: matters.map(matterOf),
    outside: around.outside,
    ...(holidays === undefined ? {} : { holidays }),
  };
}

/** The case again, ready to be judged. @param on another day for dated parameters */
export function thaw(frozen: FrozenCase, on = frozen.on): JudgedCase {
  const { claim, model, ageMonths, base } = frozen;
  const matters = frozen.matters.map(({ about, component, facts, origins, parts, warranty, rebutted }) => ({
    matter: { about, component, parts, finding: origins && { origins } },
    facts,
    warranty,
    rebutted,
  }));
  return { claim, model, on, ageMonths, base, matters };
}

/** The holidays that counted. @param beyond who is asked about days that nobody asked for at the time */
export function holidaysOfCase(frozen: FrozenCase, beyond?: HolidayLookup): HolidayLookup {
  return thawedHolidays(frozen.holidays, beyond);
}

function claimOf(claim: JudgedClaim): JudgedClaim {
  const { jurisdiction, zone, ground, order, events, asOf, transport, statusLetters, wish, delivery } = claim;
  const { receipt, receiptWords } = delivery;
  return {
    jurisdiction,
    zone,
    ground,
    order,
    events,
    asOf,
    delivery: { receipt, ...(receiptWords === undefined ? {} : { receiptWords }) },
    ...(transport === undefined ? {} : { transport }),
    ...(statusLetters === undefined ? {} : { statusLetters }),
    ...(wish === undefined ? {} : { wish }),
  };
}

function modelOf(model: JudgedModel): JudgedModel {
  const { currency, unitCostMinor, unitFreightMinor, visitCostMinor, salvageBp, grossGrams } = model;
  return { currency, unitCostMinor, unitFreightMinor, visitCostMinor, salvageBp, grossGrams };
}

function matterOf({ matter, facts, warranty, rebutted }: CaseMatter): FrozenMatter {
  return {
    about: matter.about,
    component: matter.component,
    facts,
    parts: matter.parts.map(({ part, pieces }) => ({ part: partOf(part), pieces })),
    rebutted,
    ...(matter.finding === undefined
      ? {}
      : { origins: matter.finding.origins.map(({ origin, probability }) => ({ origin, probability })) }),
    ...(warranty === undefined ? {} : { warranty }),
  };
}

function partOf({
  number,
  title,
  priceMinor,
  freightMinor,
  failsAgainBp,
  customerFits,
}: SuppliedPart['part']): SuppliedPart['part'] {
  return { number, title, priceMinor, freightMinor, failsAgainBp, customerFits };
}
