import { compareInstants } from '../../kernel/days.js';
import { STAGES, type Party, type Stage } from '../../kernel/vocabulary.js';
import type { ClaimFile, CustodyStage } from '../adjudication.contract.js';

/** One stage of custody with its hand-over. */
export interface CustodyHandOver {
  readonly stage: Stage;
  /** Who held the goods; null where nobody recorded it. */
  readonly party: Party | null;
  /** Condition when this stage took over; null where there is no record. */
  readonly condition: CustodyStage['condition'] | null;
  readonly at: string | null;
  /** What is missing of this stage, in words; null where it is on record. */
  readonly gap: string | null;
}

/** The goods' way, stage by stage in the trade's order, as far as the claim says. */
export interface CustodyTimeline {
  readonly stages: readonly CustodyHandOver[];
  /** Where nobody knows who held the goods or in what condition they were, and where records contradict each other. */
  readonly gaps: readonly string[];
  /** Between which two records the condition went from clean to exceptions; null where no pair of records shows it. */
  readonly harmBetween: { readonly clean: string; readonly exceptions: string } | null;
}

/** Stages that every delivered unit went through. The crossing of a dock is left out where nobody recorded one. */
const NEEDED: readonly Stage[] = ['made', 'packed', 'stored', 'line haul', 'last mile'];

/** Orders the custody records, names every gap, and finds the hand-overs between which the goods came to harm. */
export function custodyTimeline(claim: Pick<ClaimFile, 'delivery'>): CustodyTimeline {
  const records = inOrder(claim.delivery.custody);
  const last = records.reduce((most, { stage }) => Math.max(most, STAGES.indexOf(stage)), -1);
  const stages = STAGES.flatMap((stage, index): CustodyHandOver[] => {
    const own = records.filter((record) => record.stage === stage);
    if (own.length > 0) return own.map(handOver);
    const needed = NEEDED.includes(stage) || index < last;
    return needed && stage !== 'cross-dock'
      ? [{ stage, party: null, condition: null, at: null, gap: `There is no record of "${stage}".` }]
      : [];
  });
  return {
    stages,
    gaps: [...stages.flatMap(({ gap }) => gap ?? []), ...backwards(records)],
    harmBetween: harm(records),
  };
}

/** Stages come in the trade's order; of one stage the earlier hand-over comes first. */
function inOrder(custody: readonly CustodyStage[]): CustodyStage[] {
  return [...custody].sort(
    (a, b) =>
      STAGES.indexOf(a.stage) - STAGES.indexOf(b.stage) ||
      (a.at === undefined || b.at === undefined ? 0 : compareInstants(a.at, b.at)),
  );
}

function handOver({ stage, party, condition, at }: CustodyStage): CustodyHandOver {
  const gap =
    condition === 'not known' ? `Nobody recorded the condition when the ${party} took over for "${stage}".` : null;
  return { stage, party, condition, at: at ?? null, gap };
}

/** A later stage with an earlier time: one of the two records is wrong. */
function backwards(records: readonly CustodyStage[]): string[] {
  const timed = records.flatMap(({ stage, at }) => (at === undefined ? [] : [{ stage, at }]));
  return timed.flatMap(({ stage, at }, index) => {
    const before = timed[index - 1];
    return before !== undefined && compareInstants(at, before.at) < 0
      ? [`"${stage}" is recorded before "${before.stage}", which comes first; one of the times is wrong.`]
      : [];
  });
}

function harm(records: readonly CustodyStage[]): CustodyTimeline['harmBetween'] {
  let clean: string | undefined;
  for (const { stage, condition } of records) {
    if (condition === 'exceptions') return clean === undefined ? null : { clean, exceptions: stage };
    if (condition === 'clean') clean = stage;
  }
  return null;
}
