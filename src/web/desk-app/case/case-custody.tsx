import type { ReactNode } from 'react';
import type { Assessment, CustodyHandOver } from '../../../adjudication/adjudication.contract.js';
import type { CaseData } from '../../case-data.js';
import type { Shape, Tone } from '../../domain/state-marks.js';
import { showTime } from '../../domain/time-words.js';
import { PARTY_WORDS, RECEIPT_WORDS, sentenceCase } from '../../domain/trade-words.js';
import { Mark, Note } from '../parts/parts.js';

/** Something that happened to the unit on its way. */
interface Station {
  readonly key: string;
  readonly says: string;
  readonly about?: string | undefined;
  /** RFC 3339; undefined where nobody noted it. */
  readonly at: string | undefined;
  readonly mark?: { readonly says: string; readonly shape: Shape; readonly tone: Tone };
}

/** The way of the unit, from hand to hand in the order of time. Stations whose time nobody noted keep their place in the chain. */
export function Custody({ view }: { readonly view: CaseData }): ReactNode {
  // Claims that were assessed by an earlier release have no such line.
  const found = (view.assessment as Partial<Assessment> | undefined)?.custody;
  const { gaps = [], harmBetween = null } = found ?? {};
  const stations = stationsOf(view, found?.stages ?? view.visit.custody);
  return (
    <section className="sheet stack" id="custody">
      <h2>Custody</h2>
      <ol className="plain way">
        {stations.map(({ key, says, about, at, mark }) => (
          <li key={key} className={at === undefined ? 'unknown' : undefined}>
            <span className="when">
              {at === undefined ? 'time not noted' : <time dateTime={at}>{showTime(at, view.visit.zone)}</time>}
            </span>
            <span className="what">
              <strong>{says}</strong>
              {about === undefined ? null : <span className="sub">{about}</span>}
              {mark === undefined ? null : <Mark {...mark} />}
            </span>
          </li>
        ))}
      </ol>
      {harmBetween === null ? null : (
        <p>
          It was clean at “{harmBetween.clean}” and was taken over with exceptions at “{harmBetween.exceptions}”: it
          came to harm between the two.
        </p>
      )}
      {gaps.length === 0 ? null : (
        <Note tone="warn" title="Gaps in the custody">
          <ul>
            {gaps.map((gap) => (
              <li key={gap}>{gap}</li>
            ))}
          </ul>
        </Note>
      )}
    </section>
  );
}

const CONDITIONS = {
  clean: { says: 'Taken over clean', shape: 'tick', tone: 'ok' },
  exceptions: { says: 'Exceptions noted', shape: 'triangle', tone: 'warn' },
  'not known': { says: 'Condition not known', shape: 'ring', tone: 'plainly' },
} as const;

type Held = Pick<CustodyHandOver, 'stage' | 'party' | 'condition'> & { readonly at?: string | null };

function stationsOf({ visit, claim, inspection }: CaseData, stages: readonly Held[]): readonly Station[] {
  const chain = stages.map(({ stage, party, condition, at }): Station => ({
    key: `${stage} ${party ?? ''}`,
    says: sentenceCase(stage),
    about: party === null ? 'No record' : `With the ${PARTY_WORDS[party].toLowerCase()}`,
    at: at ?? undefined,
    ...(condition === null ? {} : { mark: CONDITIONS[condition] }),
  }));
  const later: readonly (Station & { readonly at: string })[] = [
    ...point('delivered', 'Handed over', visit.deliveredAt, receiptWords(visit)),
    ...point('noticed', 'First noticed', claim.noticedAt),
    ...point('inspected', 'Inspected', inspection?.startedAt, inspection && `By ${inspection.startedBy}`),
    ...point('carrier told', 'Carrier told', claim.noticeToCarrierAt),
    ...point('filed', 'Claim filed', claim.filedAt),
  ];
  return later.reduce<readonly Station[]>(placed, chain);
}

function receiptWords({ receipt, receiptWords: words }: CaseData['visit']): string | undefined {
  if (receipt === null) return undefined;
  return words === null ? RECEIPT_WORDS[receipt] : `${RECEIPT_WORDS[receipt]}: ${words}`;
}

function point(key: string, says: string, at: string | null | undefined, about?: string) {
  return at === null || at === undefined ? [] : [{ key, says, at, about }];
}

/** Puts a station before the first one that is later. */
function placed(chain: readonly Station[], station: Station & { readonly at: string }): readonly Station[] {
  const at = chain.findIndex((each) => each.at !== undefined && Date.parse(each.at) > Date.parse(station.at));
  return at === -1 ? [...chain, station] : chain.toSpliced(at, 0, station);
}
