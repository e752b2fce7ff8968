import type { Rounding } from '../../kernel/rounding.js';
import type { AmountLine, ChosenRemedy, RemedyProposal } from '../adjudication.contract.js';
import { sumLines } from './amount-lines.js';
import type { JudgedMatter, JudgedModel } from './judged-case.js';
import { chooseRemedy, claimWideRemedy, costByFinding } from './remedy-choice.js';
import { costLines } from './remedy-costs.js';
import type { WorkedOption } from './remedy-options.js';

/** A matter with its options and the one that was chosen for it, if any is admissible. */
export interface ChosenMatter {
  readonly matter: JudgedMatter;
  readonly options: readonly WorkedOption[];
  readonly own: WorkedOption | undefined;
}

/** The proposal and each matter's part of its cost, in the order of the matters; the parts sum to the total. */
export interface ProposedRemedy {
  readonly proposal: RemedyProposal;
  readonly costByMatter: readonly number[];
}

/** Chooses for one matter. */
export function chooseFor(matter: JudgedMatter, options: readonly WorkedOption[]): ChosenMatter {
  return { matter, options, own: chooseRemedy(options) };
}

/**
 * Puts the choices together. A refund or a unit for one matter ends all of them, a refund before a unit; otherwise each matter
 * gets its own remedy.
 */
export function proposeRemedy(chosen: readonly ChosenMatter[], model: JudgedModel, rounding: Rounding): ProposedRemedy {
  const owns = chosen.flatMap(({ own }) => (own ? [own] : []));
  const wide = claimWideRemedy(owns.map(({ remedy }) => remedy));
  const parts = wide === undefined ? eachItsOwn(chosen, model, rounding) : oneForAll(wide, chosen, { model, rounding });
  const costTotalMinor = sumLines(parts.costLines);
  const proposal: RemedyProposal = {
    currency: model.currency,
    chosen: parts.chosen,
    options: chosen.flatMap(({ options }) => options.map(withoutMoney)),
    customerLines: parts.customerLines,
    customerTotalMinor: sumLines(parts.customerLines),
    costLines: parts.costLines,
    costTotalMinor,
  };
  const costByMatter =
    wide === undefined
      ? chosen.map(({ matter }) => sumLines(parts.costLines.filter(({ about }) => about === matter.about)))
      : costByFinding(
          costTotalMinor,
          chosen.map(({ own }) => own?.expectedCostMinor ?? 0),
        );
  return { proposal, costByMatter };
}

interface Parts {
  readonly chosen: readonly ChosenRemedy[];
  readonly customerLines: readonly AmountLine[];
  readonly costLines: readonly AmountLine[];
}

function eachItsOwn(chosen: readonly ChosenMatter[], model: JudgedModel, rounding: Rounding): Parts {
  const remedies: ChosenRemedy[] = [];
  const customerLines: AmountLine[] = [];
  const costs: AmountLine[] = [];
  for (const { matter, own } of chosen) {
    if (own === undefined) continue;
    const parts = own.remedy === 'part' ? matter.parts : [];
    remedies.push({
      remedy: own.remedy,
      about: [matter.about],
      parts: parts.map(({ part, pieces }) => ({ number: part.number, pieces })),
      because: own.because,
    });
    customerLines.push(...own.customerLines);
    const customer = customerCost(own.customerMinor, own.customerLines, matter.about);
    costs.push(...costLines(own.remedy, { model, parts, rounding }, customer, matter.about));
  }
  return { chosen: remedies, customerLines, costLines: costs };
}

/** Where several matters call for the same claim-wide remedy under different terms, the terms that give the customer most hold. */
function oneForAll(
  remedy: 'refund' | 'unit',
  chosen: readonly ChosenMatter[],
  by: { readonly model: JudgedModel; readonly rounding: Rounding },
): Parts {
  const calling = chosen.flatMap(({ own }) => (own?.remedy === remedy ? [own] : []));
  const best = calling.reduce((a, b) => (b.customerMinor > a.customerMinor ? b : a));
  const all = chosen.map(({ matter }) => matter.about);
  const about = all.length === 1 ? best.about : 'claim';
  const customerLines = best.customerLines.map((line) => ({ ...line, about }));
  const customer = customerCost(best.customerMinor, customerLines, about);
  const also = all.length === 1 ? '' : ` It ends the matter for ${all.join(', ')} alike.`;
  return {
    chosen: [{ remedy, about: all, parts: [], because: `${best.because}${also}` }],
    customerLines,
    costLines: costLines(remedy, { model: by.model, parts: [], rounding: by.rounding }, customer, about),
  };
}

function customerCost(totalMinor: number, lines: readonly AmountLine[], about: string): AmountLine | undefined {
  if (totalMinor === 0) return undefined;
  const working = `sum of the customer's lines: ${lines.map(({ id }) => id).join(', ')}`;
  return { id: 'customer', says: 'To the customer', amountMinor: totalMinor, working, about };
}

function withoutMoney(option: WorkedOption): RemedyProposal['options'][number] {
  const { about, remedy, admissible, rank, expectedCostMinor, rule, because } = option;
  return { about, remedy, admissible, rank, expectedCostMinor, rule, because };
}
