import { money, scaleMoney } from '../../kernel/money.js';
import type { Rounding } from '../../kernel/rounding.js';
import { WHOLE_BP } from '../../kernel/shares.js';
import type { Component, Remedy } from '../../kernel/vocabulary.js';
import type { Model, Part } from '../../catalogue/catalogue.contract.js';
import type { AmountLine } from '../adjudication.contract.js';
import { figure, percentShown, plainLine, scaledLine, sumLines, type LineBasis } from './amount-lines.js';
import type { Ratio } from './exact-decimal.js';
import type { JudgedModel, SuppliedPart } from './judged-case.js';

/** A part to be supplied and how many pieces of it. */
export interface PartNeeded {
  readonly part: Part;
  readonly pieces: number;
}

/**
 * The parts that put a component right: the pieces counted short where the matter is about missing pieces, otherwise one piece of the
 * component's spare. Empty when the catalogue has nothing to supply.
 */
export function partsFor(model: Model, component: Component | null, missing: readonly PartNeeded[]): PartNeeded[] {
  if (missing.length > 0) return [...missing];
  const spare = model.parts.find((part) => part.component === component && part.isSpare);
  return spare ? [{ part: spare, pieces: 1 }] : [];
}

/**
 * The pieces counted short, in the order of the packing list. An assembly that is missing brings its own parts along, so those are
 * not supplied twice.
 * @param counted pieces found by part number; what was not counted is not missing
 */
export function missingParts(model: Model, counted: Readonly<Record<string, number>>): PartNeeded[] {
  const short = model.parts
    .map((part) => ({ part, pieces: part.pieces - (counted[part.number] ?? part.pieces) }))
    .filter(({ pieces }) => pieces > 0);
  const numbers = new Set(short.map(({ part }) => part.number));
  return short.filter(({ part }) => !isInside(part, numbers, model));
}

/** Whether a part belongs, at any depth, to one of the numbers given. The component tree has no circles; the catalogue checks that. */
function isInside(part: Part, numbers: ReadonlySet<string>, model: Model): boolean {
  const { parent } = part;
  if (parent === undefined) return false;
  if (numbers.has(parent)) return true;
  const above = model.parts.find(({ number }) => number === parent);
  return above !== undefined && isInside(above, numbers, model);
}

/** Whether the customer fits every part without help; false when there is nothing to fit. */
export function customerFitsAll(parts: readonly SuppliedPart[]): boolean {
  return parts.length > 0 && parts.every(({ part }) => part.customerFits);
}

/** What it costs to supply the parts, freight not included, in minor units. */
export function partsPrice(parts: readonly SuppliedPart[]): number {
  return parts.reduce((sum, { part, pieces }) => sum + part.priceMinor * pieces, 0);
}

/** What a remedy is expected to cost, with the chance that it fails again. Ranks options only; nobody is paid by it. */
export interface ExpectedCost {
  readonly amountMinor: number;
  readonly working: string;
}

/** What a ranking needs to know. `customerMinor` is the money that the remedy itself gives to the customer. */
export interface CostInputs {
  readonly model: JudgedModel;
  readonly parts: readonly SuppliedPart[];
  readonly rounding: Rounding;
  readonly customerMinor: number;
}

/** Expected cost of a remedy in minor units of the model's currency, with its working in figures. */
export function expectedCost(remedy: Remedy, inputs: CostInputs): ExpectedCost {
  const { model, parts, customerMinor } = inputs;
  const basis: LineBasis = { currency: model.currency, rounding: inputs.rounding, about: '' };
  const replacing = model.unitCostMinor + model.unitFreightMinor;
  const failsBp = Math.max(0, ...parts.map(({ part }) => part.failsAgainBp));
  const failing = scaleMoney(money(replacing, model.currency), BigInt(failsBp), BigInt(WHOLE_BP), inputs.rounding);
  const salvage = salvageMinor(model, inputs.rounding);
  const terms: [string, number][] = [];
  switch (remedy) {
    case 'refund':
      terms.push(['to the customer', customerMinor], ['return freight', model.unitFreightMinor], ['salvage', -salvage]);
      break;
    case 'unit':
      terms.push(['unit', model.unitCostMinor], ['freight', model.unitFreightMinor], ['salvage', -salvage]);
      break;
    case 'part':
      terms.push(['parts', partsPrice(parts)], ['freight', partsFreight(parts)]);
      if (!customerFitsAll(parts)) terms.push(['visit', model.visitCostMinor]);
      terms.push(['chance that it fails again', failing.amountMinor]);
      break;
    case 'visit':
      terms.push(['visit', model.visitCostMinor], ['chance that it fails again', failing.amountMinor]);
      break;
    case 'allowance':
      terms.push(['to the customer', customerMinor]);
      break;
    case 'none':
      break;
  }
  const amountMinor = terms.reduce((sum, [, minor]) => sum + minor, 0);
  const shown = terms
    .filter(([, minor]) => minor !== 0)
    .map(([name, minor], index) => `${sign(minor, index)}${figure(basis, Math.abs(minor))} ${name}`)
    .join('');
  return { amountMinor, working: `expected cost ${shown === '' ? '0' : `${shown} = ${figure(basis, amountMinor)}`}` };
}

/** What giving a remedy costs besides the money to the customer: parts, visits, units, freight, less salvage. */
export function costLines(
  remedy: Remedy,
  inputs: Omit<CostInputs, 'customerMinor'>,
  customer: AmountLine | undefined,
  about: string,
): AmountLine[] {
  const { model, parts } = inputs;
  const basis: LineBasis = { currency: model.currency, rounding: inputs.rounding, about };
  const lines: AmountLine[] = customer ? [customer] : [];
  switch (remedy) {
    case 'refund':
      lines.push(
        plainLine(basis, 'return freight', 'Freight to take the unit back', model.unitFreightMinor, FROM_MODEL),
      );
      return lessSalvage(lines, model, basis);
    case 'unit':
      lines.push(plainLine(basis, 'unit', 'Replacement unit', model.unitCostMinor, FROM_MODEL));
      lines.push(
        plainLine(basis, 'unit freight', 'Freight out with the new unit and back', model.unitFreightMinor, FROM_MODEL),
      );
      return lessSalvage(lines, model, basis);
    case 'part':
      for (const { part, pieces } of parts) lines.push(...partLines(basis, part, pieces));
      if (!customerFitsAll(parts)) lines.push(visitLine(basis, model));
      return lines;
    case 'visit':
      lines.push(visitLine(basis, model));
      return lines;
    case 'allowance':
    case 'none':
      return lines;
  }
}

const FROM_MODEL = 'as the catalogue has it for the model';

function partLines(basis: LineBasis, part: SuppliedPart['part'], pieces: number): AmountLine[] {
  const each = { numerator: BigInt(pieces), denominator: 1n };
  const price = scaledLine(basis, {
    id: `part ${part.number}`,
    says: part.title,
    baseMinor: part.priceMinor,
    by: each,
    shown: String(pieces),
  });
  const freight = plainLine(
    basis,
    `part freight ${part.number}`,
    `Freight for ${part.title}`,
    part.freightMinor,
    FROM_PART,
  );
  return [price, freight];
}

const FROM_PART = 'as the catalogue has it for the part';

function visitLine(basis: LineBasis, model: JudgedModel): AmountLine {
  return plainLine(basis, 'visit', "One technician's visit", model.visitCostMinor, FROM_MODEL);
}

/** Salvage is credited up to what the remedy costs: a net claim is never below nothing (49 CFR 370.11 credits the proceeds). */
function lessSalvage(lines: readonly AmountLine[], model: JudgedModel, basis: LineBasis): AmountLine[] {
  if (model.salvageBp === 0) return [...lines];
  const line = scaledLine(basis, {
    id: 'salvage',
    says: 'Less what the returned unit still fetches',
    baseMinor: model.unitCostMinor,
    by: salvageShare(model),
    shown: percentShown(salvageShare(model)),
    heldBack: true,
  });
  const spent = sumLines(lines);
  if (spent + line.amountMinor >= 0) return [...lines, line];
  return [
    ...lines,
    { ...line, amountMinor: spent === 0 ? 0 : -spent, working: `${line.working}, no more than it cost` },
  ];
}

function salvageMinor(model: JudgedModel, rounding: Rounding): number {
  const { numerator, denominator } = salvageShare(model);
  return scaleMoney(money(model.unitCostMinor, model.currency), numerator, denominator, rounding).amountMinor;
}

function salvageShare(model: JudgedModel): Ratio {
  return { numerator: BigInt(model.salvageBp), denominator: BigInt(WHOLE_BP) };
}

function partsFreight(parts: readonly SuppliedPart[]): number {
  return parts.reduce((sum, { part }) => sum + part.freightMinor, 0);
}

function sign(minor: number, index: number): string {
  if (index === 0) return minor < 0 ? '−' : '';
  return minor < 0 ? ' − ' : ' + ';
}
