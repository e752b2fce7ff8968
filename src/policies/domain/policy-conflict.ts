/** Two rules of a `unique` table hold for the same facts: a mistake in the policy that must not be settled by row order. */
export class PolicyConflict extends Error {
  constructor(
    readonly decision: string,
    readonly rules: readonly [string, string],
  ) {
    super(
      `In the decision "${decision}" the rules ${rules[0]} and ${rules[1]} both hold, and the table allows only one. ` +
        'Change one of them so that they exclude each other.',
    );
  }
}
