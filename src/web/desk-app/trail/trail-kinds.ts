import type { Act } from '../../../access/access.contract.js';
import type { ClaimEventKind } from '../../../claims/claims.contract.js';
import type { TrailSource } from '../../../insight/trail.contract.js';
import type { RecoveryEventKind } from '../../../recovery/recovery.contract.js';

/** Every kind of event, so that none is left out when one is added. */
const CLAIMS: Readonly<Record<ClaimEventKind, true>> = {
  'claim-drafted': true,
  'claim-filed': true,
  'assessment-started': true,
  'claim-proposed': true,
  'information-asked': true,
  'information-given': true,
  'decision-made': true,
  'decision-sent-back': true,
  'claim-decided': true,
  'settlement-ordered': true,
  'claim-settled': true,
  'claim-closed': true,
  'claim-withdrawn': true,
  'claim-reopened': true,
  'evidence-added': true,
  'happening-noted': true,
  'note-written': true,
  'claim-taken': true,
  'claim-put-back': true,
  'phone-lost': true,
  'answer-settled': true,
  'clock-warned': true,
  'clock-missed': true,
};

const RECOVERIES: Readonly<Record<RecoveryEventKind, true>> = {
  'recovery-opened': true,
  'demand-changed': true,
  'particulars-added': true,
  'demand-sent': true,
  'demand-acknowledged': true,
  'offer-made': true,
  'payment-received': true,
  'salvage-credited': true,
  'demand-declined': true,
  'balance-written-off': true,
  'recovery-withdrawn': true,
};

interface Kinds {
  readonly source: TrailSource;
  /** What somebody must be allowed to read it. */
  readonly act: Act;
  readonly kinds: readonly string[];
}

/** What may be looked for in each history. */
export const TRAIL_KINDS: readonly Kinds[] = [
  { source: 'claims', act: 'claim.verify', kinds: Object.keys(CLAIMS) },
  { source: 'recoveries', act: 'recovery.read', kinds: Object.keys(RECOVERIES) },
  {
    source: 'policies',
    act: 'policy.read',
    kinds: ['drafted', 'edited', 'proposed', 'approved', 'rejected', 'published', 'withdrawn'].map(
      (kind) => `policy-${kind}`,
    ),
  },
  {
    source: 'people and keys',
    act: 'people.manage',
    kinds: [
      'person-added',
      'person-changed',
      'person-shut-out',
      'person-let-in',
      'password-set',
      'key-made',
      'key-ended',
    ],
  },
];
