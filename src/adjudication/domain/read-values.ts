import { minorDigits } from '../../kernel/currency.js';
import { refuse, text, type Read } from './json-reading.js';

/** Most minor units of one amount: a hundred million of a two-digit currency. Sums of 500 parts of 1,000 pieces then stay exact. */
export const MOST_MINOR = 10_000_000_000;

/** An RFC 3339 instant that carries its offset (`Z` or `±hh:mm`); kept as written. Leap seconds are refused: no place keeps them. */
export const instant: Read<string> = (value, at, faults) => {
  const says = 'an instant with its offset, such as 2026-03-02T10:15:00-05:00';
  const found = text({ most: 40, pattern: INSTANT, says })(value, at, faults);
  if (found === undefined) return undefined;
  try {
    Temporal.Instant.from(found);
    return found;
  } catch {
    return refuse(faults, at, `must be ${says}; there is no such date or time`);
  }
};

const INSTANT = /^\d{4}-\d\d-\d\dT\d\d:\d\d:[0-5]\d(?:\.\d{1,9})?(?:Z|[+-]\d\d:\d\d)$/;

/** A calendar date, `YYYY-MM-DD`. */
export const date: Read<string> = (value, at, faults) => {
  const says = 'a date such as 2026-03-02';
  const found = text({ most: 10, pattern: /^\d{4}-\d\d-\d\d$/, says })(value, at, faults);
  if (found === undefined) return undefined;
  try {
    return Temporal.PlainDate.from(found, { overflow: 'reject' }).toString();
  } catch {
    return refuse(faults, at, `must be ${says}; there is no such day`);
  }
};

/** An IANA time zone name; plain offsets are refused because they do not know summer time. */
export const zone: Read<string> = (value, at, faults) => {
  const says = 'a time zone of the IANA database, such as America/Chicago';
  const found = text({ most: 60, pattern: /^[A-Za-z][A-Za-z0-9_+-]*(?:\/[A-Za-z0-9_+-]+){0,2}$/, says })(
    value,
    at,
    faults,
  );
  if (found === undefined) return undefined;
  try {
    Temporal.Instant.fromEpochMilliseconds(0).toZonedDateTimeISO(found);
    return found;
  } catch {
    return refuse(faults, at, `must be ${says}; "${found}" is not one`);
  }
};

/** A currency of ISO 4217 that has minor units. */
export const currency: Read<string> = (value, at, faults) => {
  const found = text({ most: 3, pattern: /^[A-Z]{3}$/, says: 'a currency code of three capitals, such as USD' })(
    value,
    at,
    faults,
  );
  if (found === undefined) return undefined;
  if (minorDigits(found) !== undefined) return found;
  return refuse(faults, at, `must be a currency of ISO 4217 with minor units; "${found}" is not one`);
};

/** ISO 3166-1 country, optionally with an ISO 3166-2 subdivision. */
export const jurisdiction = text({
  most: 6,
  pattern: /^[A-Z]{2}(?:-[A-Z0-9]{1,3})?$/,
  says: 'a country such as DE, or a country with its part such as US-CA',
});

/** `id` or `id/version` of a document. */
export const documentRef = text({
  most: 80,
  pattern: /^[a-z0-9]+(?:-[a-z0-9]+)*(?:\/[1-9][0-9]{0,5})?$/,
  says: 'the id of a document, alone or with its version, such as bed-base/1',
});

/** Short codes of ours: items, demands, photo ids. */
export const code = text({
  most: 80,
  pattern: /^[A-Za-z0-9]+(?:[-_.:][A-Za-z0-9]+)*$/,
  says: 'a short code of letters, digits, hyphens, dots and underscores',
});

/** A file beside the claim file: forward slashes, no way up and none to the root. */
export const besideFile = text({
  most: 200,
  pattern: /^(?!\/)(?!.*(?:^|\/)\.{1,2}(?:\/|$))[A-Za-z0-9][A-Za-z0-9._/-]*$/,
  says: 'the name of a file in or below the folder of the claim file',
});

/** Lower-case hex SHA-256. */
export const sha256 = text({ most: 64, pattern: /^[0-9a-f]{64}$/, says: '64 hexadecimal digits in lower case' });
