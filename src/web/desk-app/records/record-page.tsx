import './records.css';
import { getRouteApi, Link } from '@tanstack/react-router';
import type { ReactNode } from 'react';
import { showDate } from '../../domain/time-words.js';
import { sentenceCase } from '../../domain/trade-words.js';
import { valueText } from '../../domain/rule-differences.js';
import { useRecord, useReplay, useWhy, type RecordShown, type Why } from '../api/records.js';
import { TroubleNote } from '../parts/fields.js';
import { Caution, Facts, Mark, Time } from '../parts/parts.js';
import { Failing, Loading } from '../parts/states.js';
import { useTitle } from '../parts/title.js';
import { sheetOf } from '../policies/addresses.js';
import { useOnlooker } from '../shell.js';
import { Answer, questionWords, UsedParameters } from './way.js';
import { WhyNotPart } from './why-not.js';

const route = getRouteApi('/records/$id');

/** The record of one judgement of a claim: what the policy was asked, what it said and by which rules. */
export function RecordPage(): ReactNode {
  const { id } = route.useParams();
  const found = useRecord(id);
  const why = useWhy(id);
  useTitle('Record of a judgement');
  if (!found.data) {
    return (
      <>
        <h1>Record of a judgement</h1>
        {found.isError ? (
          <Failing trouble={found.error} again={() => void found.refetch()} />
        ) : (
          <Loading what="the record" />
        )}
      </>
    );
  }
  const { claim, n, policy } = found.data;
  return (
    <>
      <div className="head">
        <div>
          <p className="quiet noprint">
            <Link to="/claims/$id" params={{ id: claim }}>
              The claim
            </Link>{' '}
            · <Link to={sheetOf(policy.code, policy.version)}>The policy</Link>
          </p>
          <h1>Judgement {n} of the claim</h1>
          <p>
            By {policy.code}, version {policy.version}, <Time at={found.data.madeAt} />
          </p>
        </div>
      </div>
      <div className="case">
        <div className="says">
          <Kept record={found.data} />
          <WhyNotPart record={id} />
          <Replay record={id} />
        </div>
        <div>
          {why.isPending ? <Loading what="the way to the outcome" /> : null}
          {why.isError ? <Failing trouble={why.error} again={() => void why.refetch()} /> : null}
          {why.data ? <Ways why={why.data} /> : null}
          {why.isPending ? null : (
            <>
              <FactsKept record={found.data} />
              <Caution />
            </>
          )}
        </div>
      </div>
    </>
  );
}

function Kept({ record }: { readonly record: RecordShown }): ReactNode {
  return (
    <section className="sheet" id="kept">
      <h2>What is kept</h2>
      <Facts
        of={[
          ['Parameters as of', showDate(record.governedOn)],
          ['Judged by', record.actor],
          ['Record', <span className="hash">{record.hash}</span>],
          ['Policy', <span className="hash">{record.policy.hash}</span>],
        ]}
      />
    </section>
  );
}

function Ways({ why }: { readonly why: Why }): ReactNode {
  return (
    <>
      <section className="sheet stack" id="why">
        <h2>How it came about</h2>
        <p className="quiet">Every question that was put to the policy, with the rules that answered it.</p>
        <ol className="plain questions">
          {why.questions.map((question, place) => (
            // The same question may be asked twice; the list never changes.
            <li key={`${place} ${questionWords(question)}`}>
              <h3>{questionWords(question)}</h3>
              <Answer question={question} />
            </li>
          ))}
        </ol>
      </section>
      {why.parameters.length === 0 ? null : (
        <section className="sheet" id="parameters">
          <h2>Parameters</h2>
          <UsedParameters parameters={why.parameters} />
        </section>
      )}
    </>
  );
}

function FactsKept({ record: { facts } }: { readonly record: RecordShown }): ReactNode {
  const groups = [
    ['The claim', facts.base] as const,
    ...facts.matters.map(({ about, facts: own }) => [sentenceCase(about), own] as const),
  ];
  return (
    <section className="sheet" id="facts">
      <h2>Facts it rests on</h2>
      {groups.map(([head, of]) => (
        <details key={head}>
          <summary>{head}</summary>
          <Facts of={Object.entries(of).map(([name, value]) => [sentenceCase(name), valueText(value)] as const)} />
        </details>
      ))}
    </section>
  );
}

function Replay({ record }: { readonly record: string }): ReactNode {
  const { data: onlooker } = useOnlooker();
  const { run, found, running, trouble } = useReplay(record);
  if (onlooker?.acts.includes('claim.verify') !== true) return null;
  return (
    <section className="sheet stack" id="replay">
      <h2>Does it still come out so?</h2>
      <p className="quiet">The kept facts are judged again by the same version and compared byte for byte.</p>
      <TroubleNote trouble={trouble} />
      <div role="status">
        {found === undefined ? null : found.differences.length === 0 ? (
          <Mark shape="tick" tone="ok" says="It comes out the same, byte for byte" />
        ) : (
          <>
            <Mark shape="triangle" tone="bad" says="It does not come out the same" />
            <ul>
              {found.differences.map((says) => (
                <li key={says}>{says}</li>
              ))}
            </ul>
          </>
        )}
      </div>
      <button type="button" className="do" disabled={running} onClick={run}>
        {running ? 'Judging…' : 'Judge it again'}
      </button>
    </section>
  );
}
