import type { ReactNode } from 'react';
import type { EvidenceModel } from '../../../diagnosis/diagnosis.contract.js';
import { shareOf } from '../../../diagnosis/learning.contract.js';
import type { ModelChange } from '../../../diagnosis/study.contract.js';
import { count } from '../../domain/time-words.js';
import { sentenceCase } from '../../domain/trade-words.js';
import { Mark } from '../parts/parts.js';
import { changeWords } from './change-words.js';
import { showNumber } from './weights.js';

interface ChangeTableProps {
  readonly caption: string;
  readonly changes: readonly ModelChange[];
  readonly from: EvidenceModel;
  readonly to: EvidenceModel;
}

const KINDS = {
  changed: { shape: 'half', tone: 'info', says: 'Changed' },
  added: { shape: 'tick', tone: 'ok', says: 'Added' },
  removed: { shape: 'cross', tone: 'bad', says: 'Taken out' },
} as const;

/** Differences of two versions: what, what it was, what it is, and what it was learnt from. */
export function ChangeTable({ caption, changes, from, to }: ChangeTableProps): ReactNode {
  return (
    <div className="scroll" tabIndex={0} role="region" aria-label={caption}>
      <table className="changes">
        <caption>{caption}</caption>
        <thead>
          <tr>
            <th scope="col">How</th>
            <th scope="col">What</th>
            <th scope="col">Was</th>
            <th scope="col">Is</th>
            <th scope="col">Learnt</th>
          </tr>
        </thead>
        <tbody>
          {changes.map((change) => {
            const { thing, member } = changeWords(change, from, to);
            return (
              <tr key={`${change.of} ${change.id} ${change.member} ${change.kind}`}>
                <td>
                  <Mark {...KINDS[change.kind]} />
                </td>
                <th scope="row">
                  {sentenceCase(thing)}
                  {member === '' ? null : <span className="sub">{member}</span>}
                </th>
                <td>
                  <Value of={change.was} />
                </td>
                <td>
                  <Value of={change.is} />
                </td>
                <td>
                  <Learnt change={change} in={to} />
                </td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </div>
  );
}

function Value({ of }: { readonly of: string | number | undefined }): ReactNode {
  if (of === undefined) return <span className="quiet">–</span>;
  return typeof of === 'number' ? <span className="figures">{showNumber(of)}</span> : of;
}

/** From how many decided claims a number was learnt, with the share in them and its interval (Wilson 1927). */
function Learnt(props: { readonly change: ModelChange; readonly in: EvidenceModel }): ReactNode {
  const { of, id, member } = props.change;
  const [name = '', inner = ''] = member.split('.');
  const learnt =
    of === 'explanation' && name === 'prior'
      ? props.in.explanations.find((one) => one.id === id)?.learnt
      : of === 'observation' && name === 'likelihoods'
        ? props.in.observations.find((one) => one.id === id)?.learnt?.[inner]
        : undefined;
  if (learnt === undefined) return <span className="quiet">–</span>;
  const share = learnt.times === undefined ? undefined : shareOf(learnt.times, learnt.claims);
  return (
    <>
      from {count(learnt.claims, 'claim')}
      {share === undefined ? null : (
        <span className="sub">
          {share.count} of {share.of}: {percent(share.share)}; 95 % interval {percent(share.low)} to{' '}
          {percent(share.high)}
        </span>
      )}
    </>
  );
}

function percent(share: number): string {
  return `${Math.round(share * 100)} %`;
}
