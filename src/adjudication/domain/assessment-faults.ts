import { pointer, type Fault } from '../../kernel/outcome.js';
import type { Model } from '../../catalogue/catalogue.contract.js';
import type { EvidenceModel, FindingBar } from '../../diagnosis/diagnosis.contract.js';
import type { Checklist, ChecklistWalk } from '../../inspections/inspections.contract.js';
import type { CompiledPolicy } from '../../policies/policies.contract.js';
import type { ClaimFile } from '../adjudication.contract.js';
import { amountFault } from './claim-consistency.js';
import { missingDecisions } from './policy-run.js';

/** The documents that one claim is judged by. */
export interface AssessmentDocuments {
  readonly model: Model;
  readonly checklist: Checklist;
  readonly evidenceModel: EvidenceModel;
  readonly policy: CompiledPolicy;
}

/** Where the claim contradicts its documents or they contradict each other. Pointers are into the claim file. */
export function documentFaults(claim: ClaimFile, documents: AssessmentDocuments): Fault[] {
  const { model, checklist, evidenceModel, policy } = documents;
  const faults: Fault[] = [];
  const say = (at: string, detail: string): unknown => faults.push({ pointer: at, detail });
  if (model.sku !== claim.unit.sku) say('#/unit/sku', `The unit is ${claim.unit.sku} but the model is ${model.sku}.`);
  if (model.currency !== claim.order.currency) {
    say('#/order/currency', `The order is in ${claim.order.currency} but the model's costs are in ${model.currency}.`);
  }
  const money = policy.document.money.currency;
  if (money !== claim.order.currency) {
    say('#/order/currency', `The order is in ${claim.order.currency} but the policy's amounts are in ${money}.`);
  }
  if (checklist.family !== model.family) {
    say('#/documents/checklist', `The checklist is for a ${checklist.family}, the unit is a ${model.family}.`);
  }
  if (evidenceModel.family !== model.family) {
    say(
      '#/documents/evidenceModel',
      `The evidence model is for a ${evidenceModel.family}, the unit is a ${model.family}.`,
    );
  }
  if (policy.document.governedBy !== 'delivered on') {
    say(
      '#/documents/policy',
      `The policy is governed by "${policy.document.governedBy}", which no claim file supplies.`,
    );
  }
  for (const missing of missingDecisions(policy)) say('#/documents/policy', missing);
  return faults;
}

/** Amounts of a model that cannot be worked with exactly. Pointers are into the model. */
export function modelAmountFaults(model: Model): Fault[] {
  const named = [
    ...(['unitCostMinor', 'unitFreightMinor', 'visitCostMinor'] as const).map((name) => [name, model[name]] as const),
    ...model.parts.flatMap(({ priceMinor, freightMinor }, index) => [
      [`parts/${index}/priceMinor`, priceMinor] as const,
      [`parts/${index}/freightMinor`, freightMinor] as const,
    ]),
  ];
  return named.flatMap(([at, minor]) => {
    const detail = amountFault(minor);
    return detail === undefined ? [] : [{ pointer: `#/${at}`, detail }];
  });
}

/** Photos of items that the checklist does not have. */
export function photoFaults(claim: ClaimFile, walk: ChecklistWalk): Fault[] {
  return claim.photos.flatMap(({ item }, index) =>
    walk.item(item) !== undefined
      ? []
      : [
          {
            pointer: pointer(pointer('#/photos', index), 'item'),
            detail: `The checklist has no item "${item}" for the photo to belong to.`,
          },
        ],
  );
}

/** Numbers that the policy must give on the day, apart from its decisions. */
export interface PolicyNumbers {
  readonly bar: FindingBar;
  readonly shareFloorBp: number;
  readonly useLifeMonths: number | undefined;
}

/** Reads the policy's bar and floor on a day; names every one that is missing or out of range. */
export function policyNumbers(
  policy: CompiledPolicy,
  on: string,
): { readonly numbers: PolicyNumbers; readonly faults: readonly Fault[] } {
  const faults: Fault[] = [];
  const read = (name: string, least: number, most: number): number => {
    const text = policy.parameter(name, on);
    const value = Number(text ?? Number.NaN);
    if (value >= least && value <= most) return value;
    const found = text === undefined ? 'has no value' : `is ${text}, which is not from ${least} to ${most},`;
    faults.push({ pointer: '#/documents/policy', detail: `The policy's parameter "${name}" ${found} on ${on}.` });
    return least;
  };
  const bar: FindingBar = {
    probability: read('bar probability', 0, 1),
    marginDecibans: read('bar margin decibans', 0, 1_000),
    surprise: read('bar surprise', 0, 1),
    worthBits: read('worth bits', 0, 1_000),
  };
  const shareFloorBp = read('share floor', 0, 10_000);
  const life = policy.parameter('use life months', on);
  const useLifeMonths = life === undefined ? undefined : Number(life);
  if (!Number.isInteger(shareFloorBp)) {
    faults.push({
      pointer: '#/documents/policy',
      detail: `The policy's parameter "share floor" is not whole on ${on}.`,
    });
  }
  if (useLifeMonths !== undefined && !(Number.isInteger(useLifeMonths) && useLifeMonths > 0)) {
    faults.push({
      pointer: '#/documents/policy',
      detail: `The policy's parameter "use life months" is not a whole number above 0 on ${on}.`,
    });
  }
  return { numbers: { bar, shareFloorBp, useLifeMonths }, faults };
}
