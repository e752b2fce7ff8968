/** An instant as RFC 3339 text in UTC with exactly three digits of a second: what the database keeps and hashes are made over. */
export function isoInstant(at: Temporal.Instant): string {
  return at.toString({ fractionalSecondDigits: 3, roundingMode: 'floor' });
}
