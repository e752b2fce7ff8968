import './policies.css';
import { getRouteApi, Link, useNavigate } from '@tanstack/react-router';
import type { ReactNode } from 'react';
import { parameterDifferences, ruleDifferences } from '../../domain/rule-differences.js';
import { useDifference, useLife, usePolicyVersions } from '../api/policies.js';
import { Caution, Note } from '../parts/parts.js';
import { Pick } from '../parts/pick.js';
import { Empty, Failing, Loading } from '../parts/states.js';
import { useTitle } from '../parts/title.js';
import { reviewOf, sheetOf } from './addresses.js';
import { Regions } from './difference-regions.js';
import { ChangedParameters, ChangedRules } from './difference-rules.js';
import { differenceWords } from './review-evidence.js';

const route = getRouteApi('/policies/$id/$version/difference');

/** One version beside another: in what cases they decide otherwise, and which rules say so. */
export function DifferencePage(): ReactNode {
  const { id, version: written } = route.useParams();
  const version = Number(written);
  const { against } = route.useSearch();
  const navigate = useNavigate();
  const versions = usePolicyVersions(id);
  const found = useDifference(id, version, against === undefined ? undefined : Number(against));
  useTitle(`Difference of version ${version}`);
  const others = (versions.data?.items ?? []).filter((line) => line.version !== version);
  return (
    <>
      <div className="head">
        <div>
          <p className="quiet noprint">
            <Link to="/policies">Policies</Link> ·{' '}
            <Link to="/policies/$id" params={{ id }}>
              {others[0]?.title ?? id}
            </Link>{' '}
            · <Link to={sheetOf(id, version)}>Version {version}</Link> · <Link to={reviewOf(id, version)}>Review</Link>
          </p>
          <h1>Difference of version {version}</h1>
        </div>
        <Pick
          id="against"
          label="Compared with"
          value={against ?? ''}
          onPick={(value) =>
            void navigate({
              to: '/policies/$id/$version/difference',
              params: { id, version: written },
              search: value === '' ? {} : { against: value },
              replace: true,
            })
          }
          options={[
            ['', 'The version in force'],
            ...others
              .toReversed()
              .map((line) => [String(line.version), `Version ${line.version}, ${line.state}`] as const),
          ]}
        />
      </div>
      {found.isPending ? <Loading what="the difference" /> : null}
      {found.isError ? <Failing trouble={found.error} again={() => void found.refetch()} /> : null}
      {found.data ? (
        <>
          <section className="sheet stack" id="cases">
            <h2>Cases that come out otherwise</h2>
            <p>{differenceWords(found.data)}</p>
            <Regions changes={found.data.difference?.changes ?? []} />
            {(found.data.difference?.incomplete ?? []).length === 0 ? null : (
              <Note tone="warn" title="Not all could be worked out.">
                <p>
                  There may be more cases in {found.data.difference?.incomplete.join(', ')}. A rehearsal judges past
                  claims one by one and misses none of them.
                </p>
              </Note>
            )}
            <Sentences says={found.data.difference?.sentences ?? []} />
          </section>
          {found.data.was === undefined ? null : <Texts code={id} was={found.data.was.version} becomes={version} />}
        </>
      ) : null}
      <Caution />
    </>
  );
}

function Sentences({ says }: { readonly says: readonly string[] }): ReactNode {
  if (says.length === 0) return null;
  return (
    <>
      <h3>What else changed</h3>
      <ul>
        {says.map((sentence) => (
          <li key={sentence}>{sentence}</li>
        ))}
      </ul>
    </>
  );
}

/** Rules and parameters as they are written, both sides beside each other. */
function Texts(props: { readonly code: string; readonly was: number; readonly becomes: number }): ReactNode {
  const [was, becomes] = [useLife(props.code, props.was), useLife(props.code, props.becomes)];
  if (was.isError) return <Failing trouble={was.error} again={() => void was.refetch()} />;
  if (becomes.isError) return <Failing trouble={becomes.error} again={() => void becomes.refetch()} />;
  if (!was.data || !becomes.data) return <Loading what="both versions" />;
  const sides = [`Version ${props.was}`, `Version ${props.becomes}`] as const;
  const decisions = ruleDifferences(was.data.document, becomes.data.document);
  return (
    <>
      <section className="sheet stack" id="rules">
        <h2>Rules</h2>
        {decisions.length === 0 ? <Empty>Every rule is word for word the same.</Empty> : null}
        {decisions.map((decision) => (
          <ChangedRules key={decision.decision} decision={decision} sides={sides} />
        ))}
      </section>
      <ChangedParameters parameters={parameterDifferences(was.data.document, becomes.data.document)} sides={sides} />
    </>
  );
}
