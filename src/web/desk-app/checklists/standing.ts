import type { StateMark } from '../../domain/state-marks.js';
import type { ChecklistLine } from './checklists-data.js';

/** How a version stands: the newest that is published is in force, the others are history or still to come. */
export type ChecklistStanding = 'in force' | 'replaced' | 'draft';

/** @param lines versions of all checklists */
export function standingOf(
  line: Pick<ChecklistLine, 'code' | 'version' | 'state'>,
  lines: readonly ChecklistLine[],
): ChecklistStanding {
  if (line.state === 'draft') return 'draft';
  const newer = lines.some(
    ({ code, state, version }) => code === line.code && state === 'published' && version > line.version,
  );
  return newer ? 'replaced' : 'in force';
}

/** How the versions stand, as shapes and words. */
export const MARKS: Readonly<Record<ChecklistStanding, StateMark>> = {
  'in force': { says: 'In force', shape: 'square', tone: 'ok' },
  replaced: { says: 'Replaced', shape: 'ring', tone: 'plainly' },
  draft: { says: 'Draft', shape: 'open square', tone: 'info' },
};
