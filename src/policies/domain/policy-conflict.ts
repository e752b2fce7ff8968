/** What makes two rules a conflict: both hold, they differ, or both are exceptions to one rule. */
export type ConflictKind = 'two hold' | 'differ' | 'exceptions';

/** Rules hold for the same facts that their table does not allow together: a mistake that must not be settled by row order. */
export class PolicyConflict extends Error {
  override readonly name = 'PolicyConflict';

  /** @param base the rule to which both are exceptions */
  constructor(
    readonly decision: string,
    readonly rules: readonly [string, string],
    kind: ConflictKind = 'two hold',
    base?: string,
  ) {
    super(SENTENCES[kind](decision, rules, base));
  }
}

type Sentence = (decision: string, rules: readonly [string, string], base: string | undefined) => string;
const SENTENCES: Readonly<Record<ConflictKind, Sentence>> = {
  'two hold': (decision, [one, other]) =>
    `In the decision "${decision}" the rules ${one} and ${other} both hold, and the table allows only one. ` +
    'Change one of them so that they exclude each other.',
  differ: (decision, [one, other]) =>
    `In the decision "${decision}" the rules ${one} and ${other} both hold and give different outcomes, and the table allows ` +
    'several rules only where they agree. Give both the same outcome, or change one so that they exclude each other.',
  exceptions: (decision, [one, other], base) =>
    `In the decision "${decision}" the rules ${one} and ${other} both hold as exceptions to ${base ?? 'the same rule'}, and only ` +
    'one exception can win. Change one so that they exclude each other, or make one an exception to the other.',
};
