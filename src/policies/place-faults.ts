import { pointer, type Fault } from '../kernel/outcome.js';
import type { PolicyFault } from './policies.contract.js';

/** Faults of a policy as pointers into its document, as exact as the fault says. @param document the JSON that was checked */
export function placeFaults(document: unknown, faults: readonly PolicyFault[]): Fault[] {
  return faults.map((fault) => ({ pointer: placeOf(document, fault), detail: `${fault.detail}${range(fault)}` }));
}

function placeOf(document: unknown, fault: PolicyFault): string {
  if (fault.decision === undefined) return '#';
  const decision = indexById(member(document, 'decisions'), fault.decision);
  if (decision === undefined) return '#/decisions';
  const here = pointer('#/decisions', decision.index);
  const table = member(decision.item, 'table');
  if (fault.rule === undefined) {
    if (fault.column !== undefined) return pointer(`${here}/table/columns`, fault.column);
    return fault.from !== undefined && table === undefined ? `${here}/expression` : here;
  }
  const outcome = fault.outcome;
  if (fault.rule === 'otherwise') {
    return outcome === undefined ? `${here}/table/otherwise` : pointer(`${here}/table/otherwise`, outcome);
  }
  const rule = indexById(member(table, 'rules'), fault.rule);
  if (rule === undefined) return `${here}/table/rules`;
  const there = pointer(`${here}/table/rules`, rule.index);
  if (outcome !== undefined) return pointer(`${there}/then`, outcome);
  return fault.column === undefined ? there : pointer(`${there}/when`, fault.column);
}

function range(fault: PolicyFault): string {
  if (fault.from === undefined || fault.to === undefined) return '';
  return ` (characters ${fault.from + 1} to ${Math.max(fault.from + 1, fault.to)})`;
}

function indexById(list: unknown, id: string): { readonly index: number; readonly item: unknown } | undefined {
  if (!Array.isArray(list)) return undefined;
  const index = list.findIndex((item) => member(item, 'id') === id);
  return index < 0 ? undefined : { index, item: list[index] as unknown };
}

function member(value: unknown, name: string): unknown {
  return typeof value === 'object' && value !== null && Object.hasOwn(value, name)
    ? (value as Record<string, unknown>)[name]
    : undefined;
}
