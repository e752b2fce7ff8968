import type { ValueTransformer } from 'typeorm';

/** `bigint` columns arrive as text. Amounts and sizes are kept within ±(2^53 − 1), so the number is exact. @throws RangeError when it is not */
export const exactNumber: ValueTransformer = {
  to: (value: number | null | undefined) => value,
  from: (value: string | null): number | null => {
    if (value === null) return null;
    const n = Number(value);
    if (!Number.isSafeInteger(n)) throw new RangeError('a stored number is too large to be exact');
    return n;
  },
};

/** `timestamptz` columns as RFC 3339 text in UTC, which is how instants travel through the service. */
export const instantText: ValueTransformer = {
  to: (value: unknown) => value,
  from: (value: Date | null): string | null => (value === null ? null : value.toISOString()),
};
