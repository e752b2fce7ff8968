import './policies.css';
import { getRouteApi, Link, useNavigate } from '@tanstack/react-router';
import type { ReactNode } from 'react';
import { useNames, usePolicyVersions, type PolicyVersions, type VersionLine } from '../api/policies.js';
import { useRehearsals } from '../api/rehearsals.js';
import { useKeys } from '../keys.js';
import { Caution } from '../parts/parts.js';
import { Empty, Failing, Loading } from '../parts/states.js';
import { useTitle } from '../parts/title.js';
import { RehearsalList } from '../rehearsals/rehearsal-list.js';
import { useOnlooker } from '../shell.js';
import { rehearseOf } from './addresses.js';
import { BringIn } from './bring-in.js';
import { NewDraft } from './new-draft.js';
import { Calendar, Versions } from './policy-versions.js';

const route = getRouteApi('/policies/$id');

/** One policy: its versions and days, a new draft, files, rehearsals. */
export function PolicyPage(): ReactNode {
  const { id } = route.useParams();
  const found = usePolicyVersions(id);
  const newest = newestOf(found.data?.items ?? []);
  useTitle(newest?.title ?? 'Policy');
  const navigate = useNavigate();
  useKeys({
    r: () => {
      if (newest !== undefined) void navigate({ to: rehearseOf(id, newest.version) });
    },
  });
  return (
    <>
      <div className="head">
        <div>
          <p className="quiet">
            <Link to="/policies">Policies</Link>
          </p>
          <h1>{newest?.title ?? 'Policy'}</h1>
          <p>
            <span className="nums">{id}</span>
            {newest === undefined ? '' : ` · ${newest.jurisdiction}`}
          </p>
        </div>
        {newest === undefined ? null : (
          <p className="row">
            <Link className="button" to={rehearseOf(id, newest.version)}>
              Rehearse version {newest.version} <kbd>r</kbd>
            </Link>
          </p>
        )}
      </div>
      {found.isPending ? <Loading what="the policy" /> : null}
      {found.isError ? <Failing trouble={found.error} again={() => void found.refetch()} /> : null}
      {found.data ? <Policy code={id} of={found.data} /> : null}
    </>
  );
}

/** The version that somebody most likely works on: the newest that is not on the calendar yet, else the newest. */
function newestOf(versions: readonly VersionLine[]): VersionLine | undefined {
  return versions.findLast(({ state }) => state !== 'withdrawn' && state !== 'superseded') ?? versions.at(-1);
}

function Policy({ code, of }: { readonly code: string; readonly of: PolicyVersions }): ReactNode {
  const nameOf = useNames();
  const { data: onlooker } = useOnlooker();
  const rehearsals = useRehearsals(code);
  const edits = onlooker?.acts.includes('policy.edit') === true;
  return (
    <div className="case">
      <div className="says">
        {edits ? (
          <>
            <NewDraft code={code} versions={of.items} />
            <BringIn code={code} versions={of.items} />
          </>
        ) : (
          <section className="sheet">
            <h2>Changing it</h2>
            <p className="quiet">Policy owners write new versions. You can read, compare and rehearse all of them.</p>
          </section>
        )}
      </div>
      <div>
        <Versions code={code} versions={of.items} nameOf={nameOf} />
        <Calendar calendar={of.calendar} />
        <section className="sheet stack" id="rehearsals">
          <h2>Rehearsals</h2>
          {rehearsals.isPending ? <Loading what="the rehearsals" /> : null}
          {rehearsals.isError ? <Failing trouble={rehearsals.error} again={() => void rehearsals.refetch()} /> : null}
          {rehearsals.data?.items.length === 0 ? (
            <Empty>
              None yet. A rehearsal shows what a version would have made of past claims, before it is approved.
            </Empty>
          ) : null}
          {rehearsals.data && rehearsals.data.items.length > 0 ? (
            <RehearsalList items={rehearsals.data.items} nameOf={nameOf} />
          ) : null}
        </section>
        <Caution />
      </div>
    </div>
  );
}
