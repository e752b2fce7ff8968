import type { TypedModel } from './model-edits.js';

/** Where a fault is, in words: which explanation or sign, and which number of it. @param pointer JSON Pointer as the checker gives it */
export function faultPlace(pointer: string, model: TypedModel): string {
  const [, list, index = 'none', member = '', inner = ''] = pointer.split('/');
  if (list === 'explanations') return placed(model.explanations[Number(index)]?.fault, member);
  if (list === 'subjects') return placed(model.subjects[Number(index)]?.title.en, member);
  if (list !== 'observations') return '';
  const says = model.observations[Number(index)]?.says;
  if (member !== 'likelihoods') return placed(says, member);
  const fault = model.explanations.find(({ id }) => id === inner)?.fault ?? inner;
  return says === undefined ? '' : `“${says}”, chance if “${fault}”`;
}

const MEMBERS: Readonly<Record<string, string>> = {
  prior: 'prior',
  grounds: 'grounds',
  fault: 'words',
  says: 'words',
  check: 'what the crew is asked',
  effortSeconds: 'seconds',
  otherwise: 'chance under all others',
  group: 'group',
  item: 'item of the checklist',
  opensOn: 'what opens it',
};

function placed(thing: string | undefined, member: string): string {
  if (thing === undefined) return '';
  const what = MEMBERS[member];
  return what === undefined ? `“${thing}”` : `“${thing}”, ${what}`;
}
