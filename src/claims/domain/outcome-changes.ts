import type { CaseOutcome } from '../../adjudication/records.contract.js';
import type { ChangeKind, ClaimSide } from '../../policies/rehearsals.contract.js';

/** In which ways an outcome differs from another; empty where they are the same. Names of rules do not count. */
export function outcomeChanges(was: CaseOutcome, becomes: CaseOutcome): ChangeKind[] {
  const differs: [ChangeKind, boolean][] = [
    ['remedy', remedyKey(was) !== remedyKey(becomes)],
    ['responsible', responsibleKey(was) !== responsibleKey(becomes)],
    ['customer money', was.customerMinor !== becomes.customerMinor || was.currency !== becomes.currency],
    ['cost', was.costMinor !== becomes.costMinor],
    ['demands', demandKey(was) !== demandKey(becomes)],
    ['hold', was.safety.hold !== becomes.safety.hold],
    ['verdict', was.verdict !== becomes.verdict],
    ['clocks', clockKey(was) !== clockKey(becomes)],
  ];
  return differs.flatMap(([kind, isSo]) => (isSo ? [kind] : []));
}

/** An outcome as a comparison shows it. */
export function sideOf(outcome: CaseOutcome): ClaimSide {
  return {
    remedies: outcome.remedies.map(({ remedy }) => remedy),
    responsible: outcome.responsible.map(({ about, mode, shares }) => ({ about, mode, shares })),
    customerMinor: outcome.customerMinor,
    costMinor: outcome.costMinor,
    demands: outcome.demands,
    hold: outcome.safety.hold,
    verdict: outcome.verdict,
    clocks: outcome.clocks.map(({ id, endsAt }) => ({ id, endsAt })),
  };
}

/** The remedies of a claim in a few words. */
export function remedyWords({ remedies }: CaseOutcome): string {
  return remedies.length === 0 ? 'no remedy' : [...new Set(remedies.map(({ remedy }) => remedy))].sort().join(' and ');
}

/** Who answers for a claim in a few words. */
export function responsibleWords({ responsible }: CaseOutcome): string {
  const parties = new Set<string>();
  for (const { shares } of responsible) {
    if (shares.length === 0) parties.add('nobody named');
    for (const { party } of shares) parties.add(party);
  }
  return [...parties].sort().join(' and ');
}

/** Whether a claim is held, in words. */
export function holdWords({ safety }: CaseOutcome): string {
  return safety.hold ? 'held' : 'not held';
}

function remedyKey({ remedies }: CaseOutcome): string {
  return remedies.map(({ remedy, about }) => `${remedy}:${about.join(',')}`).join('|');
}

function responsibleKey({ responsible }: CaseOutcome): string {
  return responsible
    .map(({ about, mode, shares }) => `${about}:${mode}:${shares.map(({ party, bp }) => `${party}${bp}`).join(',')}`)
    .join('|');
}

function demandKey({ demands, unassignedMinor, customerShareMinor }: CaseOutcome): string {
  return `${demands.map(({ party, totalMinor }) => `${party}${totalMinor}`).join('|')}#${unassignedMinor}#${customerShareMinor}`;
}

function clockKey({ clocks }: CaseOutcome): string {
  return clocks.map(({ id, occurrence, endsAt }) => `${id}#${occurrence ?? 0}@${endsAt ?? ''}`).join('|');
}
