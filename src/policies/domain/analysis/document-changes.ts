import { sameJson } from './same-json.js';
import type { ClockRule, Parameter, PolicyDecision, PolicyDocument } from '../../policies.contract.js';
import { listed } from './column-words.js';

/** Differences between two documents that are not regions of a table, each in one sentence. */
export function documentSentences(was: PolicyDocument, becomes: PolicyDocument): string[] {
  return [
    ...headSentences(was, becomes),
    ...named(was.facts, becomes.facts, 'fact', factSentences),
    ...named(was.parameters, becomes.parameters, 'parameter', parameterSentences),
    ...named(byId(was.decisions), byId(becomes.decisions), 'decision', decisionSentences),
    ...named(byId(was.clocks ?? []), byId(becomes.clocks ?? []), 'clock', clockSentences),
    ...exampleSentences(was, becomes),
  ];
}

function byId<T extends { readonly id: string }>(items: readonly T[]): Record<string, T> {
  return Object.fromEntries(items.map((item) => [item.id, item]));
}

function named<T>(
  was: Readonly<Record<string, T>>,
  becomes: Readonly<Record<string, T>>,
  what: string,
  differences: (name: string, was: T, becomes: T) => string[],
): string[] {
  const names = [...new Set([...Object.keys(was), ...Object.keys(becomes)])];
  return names.flatMap((name) => {
    const [before, after] = [was[name], becomes[name]];
    if (before === undefined) return [`The ${what} "${name}" is new.`];
    if (after === undefined) return [`The ${what} "${name}" is gone.`];
    return sameJson(before, after) ? [] : differences(name, before, after);
  });
}

const HEAD = ['title', 'jurisdiction', 'caution', 'governedBy', 'zone', 'money'] as const;

function headSentences(was: PolicyDocument, becomes: PolicyDocument): string[] {
  return HEAD.flatMap((key) =>
    sameJson(was[key], becomes[key]) ? [] : [`"${key}" was ${shown(was[key])} and becomes ${shown(becomes[key])}.`],
  );
}

function factSentences(
  name: string,
  was: PolicyDocument['facts'][string],
  becomes: PolicyDocument['facts'][string],
): string[] {
  if (was.type === 'enum' && becomes.type === 'enum') {
    const added = becomes.values.filter((value) => !was.values.includes(value));
    const gone = was.values.filter((value) => !becomes.values.includes(value));
    const rest = { ...was, values: [] };
    return [
      ...(added.length > 0 ? [`The fact "${name}" can now also be ${listed(added)}.`] : []),
      ...(gone.length > 0 ? [`The fact "${name}" can no longer be ${listed(gone)}.`] : []),
      ...keySentences(`The fact "${name}"`, rest, { ...becomes, values: [] }),
    ];
  }
  return keySentences(`The fact "${name}"`, was, becomes);
}

function parameterSentences(name: string, was: Parameter, becomes: Parameter): string[] {
  const dates = [...new Set([...was.values, ...becomes.values].map(({ from }) => from))].toSorted();
  const moved = dates.flatMap((from) => {
    const [before, after] = [was, becomes].map(({ values }) => values.find((value) => value.from === from));
    if (before && after && String(before.value) === String(after.value)) return [];
    if (before && after) return [`The parameter "${name}" since ${from}: was ${before.value}, becomes ${after.value}.`];
    if (after) return [`The parameter "${name}" changes to ${after.value} on ${from}.`];
    return [`The parameter "${name}" no longer changes to ${before?.value ?? ''} on ${from}.`];
  });
  const { values: _before, ...old } = was;
  const { values: _after, ...now } = becomes;
  const told = [...moved, ...keySentences(`The parameter "${name}"`, old, now)];
  return told.length > 0 ? told : [`The parameter "${name}" names other reasons or sources.`];
}

function decisionSentences(id: string, was: PolicyDecision, becomes: PolicyDecision): string[] {
  const start = `The decision "${id}"`;
  if (was.expression !== undefined && becomes.expression !== undefined && was.expression !== becomes.expression) {
    return [`${start} was worked out as ${was.expression} and becomes ${becomes.expression}.`];
  }
  if ((was.table === undefined) !== (becomes.table === undefined)) {
    return [
      `${start} was ${was.table ? 'a table' : 'an expression'} and becomes ${becomes.table ? 'a table' : 'an expression'}.`,
    ];
  }
  const told = sameJson(was.gives, becomes.gives) ? [] : outcomeSentences(start, was, becomes);
  return [...told, ...(was.table && becomes.table ? tableSentences(start, was.table, becomes.table) : [])];
}

function outcomeSentences(start: string, was: PolicyDecision, becomes: PolicyDecision): string[] {
  return named(was.gives, becomes.gives, `outcome of ${start.replace('The ', '')}`, (name, before, after) =>
    keySentences(`${start}: ${name}`, before, after),
  );
}

function tableSentences(
  start: string,
  was: NonNullable<PolicyDecision['table']>,
  becomes: NonNullable<PolicyDecision['table']>,
): string[] {
  const [before, after] = [Object.values(was.columns), Object.values(becomes.columns)];
  const added = after.filter((reads) => !before.includes(reads));
  const gone = before.filter((reads) => !after.includes(reads));
  const [oldRules, newRules] = [byId(was.rules), byId(becomes.rules)];
  const reasons = Object.keys(newRules).filter((id) => {
    const [one, other] = [oldRules[id], newRules[id]];
    return one && other && (one.because !== other.because || one.source !== other.source);
  });
  const [fresh, lost] = [
    Object.keys(newRules).filter((id) => !oldRules[id]),
    Object.keys(oldRules).filter((id) => !newRules[id]),
  ];
  const list = (ids: readonly string[]): string => listed(ids, 'and');
  return [
    ...(was.hit === becomes.hit ? [] : [`${start} chose by "${was.hit}" and chooses by "${becomes.hit}".`]),
    ...(added.length > 0 ? [`${start} now also looks at ${list(added)}.`] : []),
    ...(gone.length > 0 ? [`${start} no longer looks at ${list(gone)}.`] : []),
    ...(fresh.length > 0 ? [`${start} has the new ${plural(fresh, 'rule')} ${list(fresh)}.`] : []),
    ...(lost.length > 0 ? [`${start} has lost the ${plural(lost, 'rule')} ${list(lost)}.`] : []),
    ...(reasons.length > 0
      ? [`${start}: ${list(reasons)} ${reasons.length === 1 ? 'has' : 'have'} another reason or source.`]
      : []),
  ];
}

function plural(items: readonly unknown[], word: string): string {
  return items.length === 1 ? word : `${word}s`;
}

function clockSentences(id: string, was: ClockRule, becomes: ClockRule): string[] {
  return keySentences(`The clock "${id}"`, was, becomes);
}

function keySentences(start: string, was: object, becomes: object): string[] {
  const [before, after] = [was, becomes].map((each) => new Map<string, unknown>(Object.entries(each)));
  const keys = new Set([...(before?.keys() ?? []), ...(after?.keys() ?? [])]);
  return [...keys].flatMap((key) => {
    const [one, other] = [before?.get(key), after?.get(key)];
    return sameJson(one, other) ? [] : [`${start}: "${key}" was ${shown(one)} and becomes ${shown(other)}.`];
  });
}

function exampleSentences(was: PolicyDocument, becomes: PolicyDocument): string[] {
  const [before, after] = [byId(was.examples), byId(becomes.examples)];
  const added = Object.keys(after).filter((id) => !before[id]).length;
  const gone = Object.keys(before).filter((id) => !after[id]).length;
  const changed = Object.keys(after).filter((id) => before[id] && !sameJson(before[id], after[id])).length;
  const parts = [
    ...(added > 0 ? [`${added} new`] : []),
    ...(gone > 0 ? [`${gone} gone`] : []),
    ...(changed > 0 ? [`${changed} changed`] : []),
  ];
  return parts.length === 0 ? [] : [`Examples: ${parts.join(', ')}.`];
}

function shown(value: unknown): string {
  return value === undefined ? 'not there' : typeof value === 'string' ? `"${value}"` : JSON.stringify(value);
}
