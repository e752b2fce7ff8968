import { randomUUID } from 'node:crypto';
import type { Fault } from '../../kernel/outcome.js';
import { Invalid } from '../../platform/http/problems.js';
import type { NewClaim } from '../claims.service.js';
import type { NewClaimDto } from './claim.dto.js';
import { pastInstant } from './past-instant.js';

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
  const noticedAt =
    pastInstant(dto.noticedAt, '#/noticedAt', now, faults) ?? now.toString({ smallestUnit: 'millisecond' });
  const noticeToCarrierAt = pastInstant(dto.noticeToCarrierAt, '#/noticeToCarrierAt', now, faults);
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
