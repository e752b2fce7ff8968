import type { Fault } from '../../kernel/outcome.js';

/** How far a phone's clock may run ahead before its times are refused. Common practice. */
const AHEAD_MINUTES = 10;

/**
 * Reads when something happened.
 * @param text RFC 3339 with offset, or undefined where nothing was said
 * @param faults takes the fault, with `pointer`, of a text without offset or of a time that lies in the future
 * @returns RFC 3339 in UTC with milliseconds, or null where nothing was said or the text is faulty
 */
export function pastInstant(
  text: string | undefined,
  pointer: string,
  now: Temporal.Instant,
  faults: Fault[],
): string | null {
  if (text === undefined) return null;
  try {
    const at = Temporal.Instant.from(text);
    if (Temporal.Instant.compare(at, now.add({ minutes: AHEAD_MINUTES })) <= 0)
      return at.toString({ smallestUnit: 'millisecond' });
    faults.push({ pointer, detail: 'This time lies in the future.' });
  } catch {
    faults.push({ pointer, detail: 'Write the time with its offset, like 2026-03-03T09:58:00-08:00.' });
  }
  return null;
}
