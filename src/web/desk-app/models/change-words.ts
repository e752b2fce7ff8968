import type { EvidenceModel } from '../../../diagnosis/diagnosis.contract.js';
import type { ModelChange } from '../../../diagnosis/study.contract.js';

const MEMBERS: Readonly<Record<string, string>> = {
  prior: 'prior',
  grounds: 'its grounds',
  fault: 'its words',
  origin: 'where it comes from',
  component: 'its component',
  severity: 'how bad it is',
  subject: 'the thing that it is about',
  says: 'its words',
  'check.en': 'what the crew is asked, in English',
  'check.es': 'what the crew is asked, in Spanish',
  item: 'the item of the checklist',
  effortSeconds: 'seconds that it takes',
  group: 'the group that says the same',
  'title.en': 'its title in English',
  'title.es': 'its title in Spanish',
  title: 'its title',
  basis: 'where its numbers come from',
  family: 'the kind of unit',
};

/** A change in words: which thing, and what of it. @param from @param to the two documents, for the words of what was taken out or added */
export function changeWords(
  { of, id, member }: ModelChange,
  from: EvidenceModel,
  to: EvidenceModel,
): { readonly thing: string; readonly member: string } {
  return { thing: thingWords(of, id, from, to), member: memberWords(member, from, to) };
}

function thingWords(of: ModelChange['of'], id: string, from: EvidenceModel, to: EvidenceModel): string {
  if (of === 'model') return 'the model';
  if (of === 'explanation') return faultOf(id, from, to);
  if (of === 'observation')
    return [to, from].flatMap(({ observations }) => observations).find((one) => one.id === id)?.says ?? id;
  return titleOf(id, from, to);
}

function memberWords(member: string, from: EvidenceModel, to: EvidenceModel): string {
  const known = MEMBERS[member];
  if (known !== undefined || member === '') return known ?? '';
  const [name = '', ...rest] = member.split('.');
  const inner = rest.join('.');
  if (name === 'likelihoods') return `chance if “${faultOf(inner, from, to)}”`;
  if (name === 'otherwise') return `chance under all others of “${titleOf(inner, from, to)}”`;
  if (name === 'opensOn') return `opened by “${inner}”`;
  if (name === 'learnt') return 'where it was learnt';
  return member;
}

function faultOf(id: string, from: EvidenceModel, to: EvidenceModel): string {
  return [to, from].flatMap(({ explanations }) => explanations).find((one) => one.id === id)?.fault ?? id;
}

function titleOf(id: string, from: EvidenceModel, to: EvidenceModel): string {
  return [to, from].flatMap(({ subjects }) => subjects).find((one) => one.id === id)?.title.en ?? id;
}
