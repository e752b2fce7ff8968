import type {
  Evaluation,
  Facts,
  FactType,
  OutcomeValue,
  PolicyDecision,
  PolicyDocument,
  PolicyExample,
} from '../../../../policies/policies.contract.js';
import { outcomeOf, outcomeText } from './written-values.js';

/** A case as it is typed: what is empty is not known yet, `null` is known to be absent. */
export interface CaseTyped {
  /** Local date, YYYY-MM-DD. */
  readonly on: string;
  /** Id of the decision to make; empty: all. */
  readonly decision: string;
  readonly texts: Readonly<Record<string, string>>;
  /** A rule of that decision to ask about; empty: none. */
  readonly rule: string;
}

/** The facts of a case, each as its type takes it. */
export function factsOf(document: PolicyDocument, texts: CaseTyped['texts']): Facts {
  return Object.fromEntries(
    Object.entries(document.facts).flatMap(([name, type]) => {
      const value = outcomeOf(type, texts[name] ?? '');
      // Facts are never lists.
      return value === undefined || (typeof value === 'object' && value !== null) ? [] : [[name, value] as const];
    }),
  );
}

/** An example as a case to be typed over. */
export function typedFrom(example: PolicyExample): CaseTyped {
  const { on, given, decisions = [] } = example;
  const texts = Object.fromEntries(Object.entries(given).map(([name, value]) => [name, outcomeText(value)]));
  return { on, decision: decisions.length === 1 ? (decisions[0] ?? '') : '', texts, rule: '' };
}

/** A tried case as an example that expects what came out. */
export function exampleFrom(
  id: string,
  { on, decision }: CaseTyped,
  given: Facts,
  evaluation: Evaluation,
  gives: readonly string[],
): PolicyExample {
  const outcomes = Object.entries(evaluation.outcomes).filter(([name]) => gives.includes(name));
  const needs = [...new Set(evaluation.needs.map(({ fact }) => fact))];
  const expect: Record<string, OutcomeValue | readonly string[]> = Object.fromEntries(outcomes);
  if (needs.length > 0) expect['needs'] = needs;
  if (evaluation.noRule.length > 0) expect['no rule'] = evaluation.noRule;
  return { id, on, ...(decision === '' ? {} : { decisions: [decision] }), given, expect };
}

/** Facts that a decision reads, itself or through the decisions that it reads, in the order in which they are declared. */
export function factsRead(document: PolicyDocument, decision: string): ReadonlySet<string> {
  const read = new Set<string>();
  const at = document.decisions.findIndex(({ id }) => id === decision);
  if (at < 0) return new Set(Object.keys(document.facts));
  const words = new Set<string>();
  for (const each of document.decisions.slice(0, at + 1).toReversed()) {
    const isRead = each.id === decision || Object.keys(each.gives).some((name) => words.has(name));
    if (!isRead) continue;
    const text = textOf(each);
    for (const name of namesOf(document)) if (isNamed(text, name)) words.add(name);
  }
  for (const name of Object.keys(document.facts)) if (words.has(name)) read.add(name);
  return read;
}

function namesOf(document: PolicyDocument): readonly string[] {
  return [...Object.keys(document.facts), ...document.decisions.flatMap(({ gives }) => Object.keys(gives))];
}

/** Everything in a decision that may name something. */
function textOf({ table, expression }: PolicyDecision): string {
  if (table === undefined) return expression ?? '';
  return [...Object.values(table.columns), ...table.rules.flatMap(({ when }) => Object.values(when))].join('\n');
}

function isNamed(text: string, name: string): boolean {
  const escaped = name.replaceAll(/[\\^$.*+?()[\]{}|]/g, '\\$&');
  return new RegExp(`(?<![\\p{L}\\p{N}_"])${escaped}(?![\\p{L}\\p{N}_"])`, 'u').test(text);
}

/** What a fact can be chosen from; undefined where it is typed. */
export function choices(type: FactType): readonly string[] | undefined {
  if (type.type === 'boolean') return ['true', 'false'];
  return type.type === 'enum' ? type.values : undefined;
}
