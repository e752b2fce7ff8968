import type { EvidenceModel } from '../diagnosis.contract.js';
import type { ModelChange } from '../study.contract.js';

type Leaf = string | number;

/**
 * What differs between two versions of a model, thing by thing and member by member; things are matched by their ids, so that moving
 * one in its list is no change. The number of the version is none either.
 * @returns first what concerns the model, then subjects, explanations and observations in the order of the newer document
 */
export function modelDifference(from: EvidenceModel, to: EvidenceModel): ModelChange[] {
  const whole = ({ family, title, basis }: EvidenceModel) => ({ family, title, basis });
  return [
    ...membersOf('model', '', whole(from), whole(to)),
    ...thingsOf('subject', from.subjects, to.subjects),
    ...thingsOf('explanation', from.explanations, to.explanations),
    ...thingsOf('observation', from.observations, to.observations),
  ];
}

interface Thing {
  readonly id: string;
}

function thingsOf(of: ModelChange['of'], from: readonly Thing[], to: readonly Thing[]): ModelChange[] {
  const before = new Map(from.map((one) => [one.id, one]));
  const after = new Set(to.map(({ id }) => id));
  const removed = from.filter(({ id }) => !after.has(id));
  return [
    ...to.flatMap((one): ModelChange[] => {
      const was = before.get(one.id);
      return was === undefined ? [{ kind: 'added', of, id: one.id, member: '' }] : membersOf(of, one.id, was, one);
    }),
    ...removed.map(({ id }): ModelChange => ({ kind: 'removed', of, id, member: '' })),
  ];
}

function membersOf(of: ModelChange['of'], id: string, from: object, to: object): ModelChange[] {
  const [before, after] = [leavesOf(from), leavesOf(to)];
  const members = [...new Set([...before.keys(), ...after.keys()])];
  return members.flatMap((member): ModelChange[] => {
    const [was, is] = [before.get(member), after.get(member)];
    if (was === is) return [];
    if (was === undefined) return [{ kind: 'added', of, id, member, ...(is === undefined ? {} : { is }) }];
    return is === undefined
      ? [{ kind: 'removed', of, id, member, was }]
      : [{ kind: 'changed', of, id, member, was, is }];
  });
}

/** Words and numbers of a thing by the way to them; a list of ids is a set, so that each id is a member of its own. */
function leavesOf(thing: object, base = ''): Map<string, Leaf> {
  const leaves = new Map<string, Leaf>();
  for (const [name, value] of Object.entries(thing) as [string, unknown][]) {
    const at = base === '' ? name : `${base}.${name}`;
    if (typeof value === 'string' || typeof value === 'number') leaves.set(at, value);
    else if (Array.isArray(value))
      for (const one of value as unknown[]) leaves.set(`${at}.${String(one)}`, String(one));
    else if (typeof value === 'object' && value !== null)
      for (const [way, leaf] of leavesOf(value, at)) leaves.set(way, leaf);
  }
  return leaves;
}
