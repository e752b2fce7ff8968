import './policies.css';
import { getRouteApi, Link, useNavigate } from '@tanstack/react-router';
import type { ReactNode } from 'react';
import { daysInWords, VERSION_MARKS } from '../../domain/policy-marks.js';
import { showDate } from '../../domain/time-words.js';
import { useEvidence, useLife, useNames, type ReadVersion, type VersionStep } from '../api/policies.js';
import { useKeys } from '../keys.js';
import { Caution, Facts, Mark, Time } from '../parts/parts.js';
import { Failing, Loading } from '../parts/states.js';
import { useTitle } from '../parts/title.js';
import { differenceOf, rehearseOf, sheetOf } from './addresses.js';
import { Files } from './policy-versions.js';
import { ReviewActs } from './review-acts.js';
import { Evidence } from './review-evidence.js';

const route = getRouteApi('/policies/$id/$version/review');

/** One version on its way: what has to be seen before it may hold, and the step that is next. */
export function ReviewPage(): ReactNode {
  const { id, version } = route.useParams();
  const found = useLife(id, Number(version));
  const navigate = useNavigate();
  useTitle(`Review of version ${version} · ${found.data?.title ?? id}`);
  useKeys({ r: () => void navigate({ to: rehearseOf(id, Number(version)) }) });
  if (found.data) return <Review key={`${id} ${version}`} version={found.data} />;
  return (
    <>
      <h1>Version {version}</h1>
      {found.isError ? (
        <Failing trouble={found.error} again={() => void found.refetch()} />
      ) : (
        <Loading what="the version" />
      )}
    </>
  );
}

function Review({ version }: { readonly version: ReadVersion }): ReactNode {
  const { code, document } = version;
  const evidence = useEvidence(version);
  return (
    <>
      <div className="head">
        <div>
          <p className="quiet noprint">
            <Link to="/policies">Policies</Link> ·{' '}
            <Link to="/policies/$id" params={{ id: code }}>
              {document.title}
            </Link>
          </p>
          <h1>Version {version.version}</h1>
          <p>{daysInWords(version.effectiveFrom, version.effectiveTo, showDate)}</p>
        </div>
        <div className="row">
          <Mark {...VERSION_MARKS[version.state]} />
        </div>
      </div>
      <p className="row leads noprint">
        <Link to={sheetOf(code, version.version)}>The sheet</Link>
        <Link to={differenceOf(code, version.version)}>Difference</Link>
        <Link to={rehearseOf(code, version.version)}>
          Rehearse <kbd>r</kbd>
        </Link>
        <Files code={code} version={version.version} />
      </p>
      <div className="case below">
        <div className="says">
          <ReviewActs version={version} evidence={evidence.data} />
          <Steps version={version} />
        </div>
        <div>
          {evidence.isPending ? <Loading what="what has to be seen: examples, analysis, difference" /> : null}
          {evidence.isError ? <Failing trouble={evidence.error} again={() => void evidence.refetch()} /> : null}
          {evidence.data ? <Evidence version={version} evidence={evidence.data} /> : null}
          {evidence.isPending ? null : <WhatItIs version={version} />}
        </div>
      </div>
    </>
  );
}

/** Beneath the evidence, so that it is shown once that is there: nothing is pushed down while somebody reads. */
function WhatItIs({ version }: { readonly version: ReadVersion }): ReactNode {
  const { document, hash } = version;
  return (
    <>
      <section className="sheet">
        <h2>What it is</h2>
        <Facts
          of={[
            ['Place', document.jurisdiction],
            ['Governed by', document.governedBy],
            ['Time zone', document.zone],
            ['Money', document.money.currency],
            ['Content', <span className="hash">{hash}</span>],
          ]}
        />
        <p className="small quiet">{document.caution}</p>
      </section>
      <Caution />
    </>
  );
}

const STEP_WORDS: Readonly<Record<VersionStep['kind'], string>> = {
  drafted: 'Written',
  edited: 'Changed',
  proposed: 'Put before a second person',
  approved: 'Approved',
  rejected: 'Sent back',
  published: 'Put on the calendar',
  withdrawn: 'Taken off the calendar',
};

function Steps({ version }: { readonly version: ReadVersion }): ReactNode {
  const nameOf = useNames();
  return (
    <section className="sheet" id="steps">
      <h2>Steps</h2>
      <ol className="plain trail">
        {version.steps.toReversed().map((step) => (
          <li key={step.n}>
            <Time at={step.at} />
            <strong>{STEP_WORDS[step.kind]}</strong> by {nameOf(step.by)}
            {step.words === undefined ? null : <p className="quiet">{step.words}</p>}
            {typeof step.more['voids'] === 'string' ? (
              <p className="quiet">The {step.more['voids']} that was given before no longer counts.</p>
            ) : null}
            {typeof step.more['rehearsal'] === 'string' ? (
              <p>
                <Link to="/rehearsals/$id" params={{ id: step.more['rehearsal'] }}>
                  The rehearsal it rests on
                </Link>
              </p>
            ) : null}
            <p className="hash" title="SHA-256 of the content that the step was about">
              {step.hash.slice(0, 16)}…
            </p>
          </li>
        ))}
      </ol>
    </section>
  );
}
