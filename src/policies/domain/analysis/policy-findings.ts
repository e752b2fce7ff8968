import type { OutcomeValue, PolicyDecision, PolicyDocument } from '../../policies.contract.js';
import { hasBit } from '../bits.js';
import { listed } from './column-words.js';
import type { DecisionSpace } from './decision-space.js';
import type { FindingDraft } from './finding-draft.js';
import { namesInTexts, textsOf } from './names-in-text.js';

/** Findings between tables: values nobody gives or reads, and declarations that nothing uses. */
export function policyFindings(document: PolicyDocument, spaces: ReadonlyMap<string, DecisionSpace>): FindingDraft[] {
  return [
    ...document.decisions.flatMap(neverGiven),
    ...document.decisions.flatMap((decision) => neverRead(decision, spaces)),
    ...unused(document),
  ];
}

/** Values that a decision's table gives for an outcome. */
export function givenValues({ table }: PolicyDecision, name: string): OutcomeValue[] | undefined {
  if (!table) return undefined;
  const values = [...table.rules.map(({ then }) => then[name]), table.otherwise?.[name]];
  return [...new Set(values.filter((value) => value !== undefined))];
}

function neverGiven(decision: PolicyDecision): FindingDraft[] {
  return Object.entries(decision.gives).flatMap(([name, type]): FindingDraft[] => {
    const given = givenValues(decision, name);
    if (type.type !== 'enum' || !given || type.list === true) return [];
    const missing = type.values.filter((value) => !given.includes(value));
    if (missing.length === 0) return [];
    const detail = `No rule gives "${name}" the declared value ${listed(missing)}.`;
    return [{ kind: 'never given', severity: 'information', decision: decision.id, rules: [], detail }];
  });
}

function neverRead(decision: PolicyDecision, spaces: ReadonlyMap<string, DecisionSpace>): FindingDraft[] {
  return Object.keys(decision.gives).flatMap((name): FindingDraft[] => {
    const readers = [...spaces.values()].flatMap(({ table, columns }) =>
      columns.flatMap((column, axis) => (column.axis.name === name ? [{ table, column, axis }] : [])),
    );
    const cells = readers.flatMap(({ table, column, axis }) =>
      table.rules.flatMap(({ accepts, open }) => {
        const bits = accepts[axis]!;
        const all = column.axis.atoms.every((_, atom) => hasBit(bits, atom));
        return all && !open ? [] : [{ column, bits }];
      }),
    );
    if (cells.length === 0) return [];
    const unnamed = (givenValues(decision, name) ?? []).filter(
      (value) =>
        !cells.some(({ column, bits }) =>
          column.axis.atoms.some((atom, place) => {
            const here = atom.kind === 'point' ? atom.value === value : atom.kind === 'absent' && value === null;
            return here && hasBit(bits, place);
          }),
        ),
    );
    const texts = unnamed.filter((value) => typeof value === 'string');
    if (texts.length === 0) return [];
    const detail = `"${name}" can be ${listed(texts)}, and no cell of a later decision asks for that.`;
    return [{ kind: 'never read', severity: 'information', decision: decision.id, rules: [], detail }];
  });
}

function unused(document: PolicyDocument): FindingDraft[] {
  const outcomes = document.decisions.flatMap(({ gives }) => Object.keys(gives));
  const [facts, parameters] = [Object.keys(document.facts), Object.keys(document.parameters)];
  const read = namesInTexts(textsOf(document), [...facts, ...parameters, ...outcomes]);
  read.add(document.governedBy);
  for (const clock of document.clocks ?? []) {
    for (const value of Object.values(clock)) if (typeof value === 'string') read.add(value);
  }
  const say = (names: readonly string[], what: string, rest: string): FindingDraft[] => {
    const left = names.filter((name) => !read.has(name));
    if (left.length === 0) return [];
    const detail = `Nothing in this policy reads the ${what}${left.length === 1 ? '' : 's'} ${listed(left, 'and')}${rest}.`;
    return [{ kind: 'unused', severity: 'information', rules: [], detail }];
  };
  return [
    ...say(facts, 'fact', ''),
    // Bars, floors and limits of authority are parameters that the service reads itself.
    ...say(parameters, 'parameter', '; only the service itself may'),
  ];
}
