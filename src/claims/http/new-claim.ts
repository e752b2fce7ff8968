import { randomUUID } from 'node:crypto';
import type { Fault } from '../../kernel/outcome.js';
import { Invalid } from '../../platform/http/problems.js';
import type { NewClaim } from '../claims.service.js';
import type { NewClaimDto } from './claim.dto.js';

/** Turns a checked body into a claim to open. What was left out is null. @throws Invalid with every fault at once */
export function newClaim(dto: NewClaimDto, now: Temporal.Instant): NewClaim {
  const faults: Fault[] = [];
  if ((dto.ground === 'return') !== (dto.returnReason !== undefined)) {
    faults.push({
      pointer: '#/returnReason',
      detail:
        dto.ground === 'return'
          ? 'Say why it comes back: change of mind or wrong item.'
          : 'Only a return has a return reason; leave it out.',
    });
  }
  const noticedAt = instant(dto.noticedAt, '#/noticedAt', now, faults) ?? now.toString({ smallestUnit: 'millisecond' });
  const noticeToCarrierAt = instant(dto.noticeToCarrierAt, '#/noticeToCarrierAt', now, faults);
  if (faults.length > 0) throw new Invalid(faults);
  return {
    id: dto.id?.toLowerCase() ?? randomUUID(),
    visitId: dto.visitId.toLowerCase(),
    serial: dto.serial.trim(),
    inspectionId: dto.inspectionId?.toLowerCase() ?? null,
    ground: dto.ground,
    returnReason: dto.returnReason ?? null,
    wish: dto.wish ?? null,
    words: dto.words ?? null,
    failedRepairs: dto.failedRepairs ?? 0,
    noticedAt,
    noticeToCarrierAt,
    file: dto.file ?? false,
  };
}

/** How far a phone's clock may run ahead before its times are refused. Common practice. */
const AHEAD_MINUTES = 10;

function instant(text: string | undefined, pointer: string, now: Temporal.Instant, faults: Fault[]): string | null {
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
