import './rehearsals.css';
import { getRouteApi, Link, useNavigate } from '@tanstack/react-router';
import { useState, type ReactNode } from 'react';
import { Trouble } from '../api/http.js';
import { useNames, usePolicyVersions } from '../api/policies.js';
import { useRehearsals, useRehearsing, type RehearsalWish } from '../api/rehearsals.js';
import { Choose, TextLine, TroubleNote } from '../parts/fields.js';
import { Empty, Failing, Loading } from '../parts/states.js';
import { useTitle } from '../parts/title.js';
import { reviewOf, sheetOf } from '../policies/addresses.js';
import { RehearsalList } from './rehearsal-list.js';

const route = getRouteApi('/policies/$id/$version/rehearse');

/** What a version would have made of past claims: which of them, beside what. */
export function RehearsePage(): ReactNode {
  const { id, version } = route.useParams();
  const versions = usePolicyVersions(id);
  const rehearsals = useRehearsals(id);
  const nameOf = useNames();
  const title = versions.data?.items.find((line) => line.version === Number(version))?.title ?? id;
  useTitle(`Rehearse version ${version} · ${title}`);
  if (versions.isPending)
    return (
      <>
        <h1>Rehearse version {version}</h1>
        <Loading what="the version" />
      </>
    );
  return (
    <>
      <div className="head">
        <div>
          <p className="quiet">
            <Link to="/policies">Policies</Link> ·{' '}
            <Link to="/policies/$id" params={{ id }}>
              {title}
            </Link>{' '}
            · <Link to={sheetOf(id, Number(version))}>Version {version}</Link> ·{' '}
            <Link to={reviewOf(id, Number(version))}>Review</Link>
          </p>
          <h1>Rehearse version {version}</h1>
          <p className="quiet">
            Past claims are judged again by this version, on the facts as they were kept, and nothing about them
            changes.
          </p>
        </div>
      </div>
      {versions.isError ? <Failing trouble={versions.error} again={() => void versions.refetch()} /> : null}
      <Wish
        code={id}
        version={Number(version)}
        others={(versions.data?.items ?? [])
          .filter((line) => line.version !== Number(version))
          .map((line) => line.version)}
      />
      <section className="sheet stack" id="earlier">
        <h2>Earlier rehearsals</h2>
        {rehearsals.isPending ? <Loading what="the rehearsals" /> : null}
        {rehearsals.isError ? <Failing trouble={rehearsals.error} again={() => void rehearsals.refetch()} /> : null}
        {rehearsals.data?.items.length === 0 ? <Empty>None of this policy yet.</Empty> : null}
        {rehearsals.data && rehearsals.data.items.length > 0 ? (
          <RehearsalList items={rehearsals.data.items} nameOf={nameOf} />
        ) : null}
      </section>
    </>
  );
}

interface WishProps {
  readonly code: string;
  readonly version: number;
  readonly others: readonly number[];
}

function Wish({ code, version, others }: WishProps): ReactNode {
  const navigate = useNavigate();
  const [mistyped, setMistyped] = useState<Trouble>();
  const rehearsing = useRehearsing({ code, version }, (id) => void navigate({ to: '/rehearsals/$id', params: { id } }));
  const trouble = mistyped ?? rehearsing.trouble;
  return (
    <section className="sheet" id="wish">
      <h2>Which claims</h2>
      <form
        className="stack"
        noValidate
        onSubmit={(event) => {
          event.preventDefault();
          setMistyped(undefined);
          try {
            rehearsing.run(wishOf(new FormData(event.currentTarget)));
          } catch (error) {
            if (!(error instanceof Trouble)) throw error;
            setMistyped(error);
          }
        }}
      >
        <TroubleNote trouble={trouble} />
        <div className="grid">
          <TextLine
            id="from"
            name="from"
            type="date"
            label="Judged from"
            hint="Empty: from the first"
            trouble={trouble}
            short
          />
          <TextLine
            id="to"
            name="to"
            type="date"
            label="Judged before"
            hint="Empty: up to now"
            trouble={trouble}
            short
          />
          <TextLine
            id="sample"
            name="sample"
            inputMode="numeric"
            label="About how many"
            hint="Empty: all. A sample is always the same one."
            trouble={trouble}
            short
          />
        </div>
        <div className="grid">
          <Choose
            id="against"
            name="against"
            label="Compared with"
            trouble={trouble}
            none="What was said of each claim at the time"
            options={others.toReversed().map((other) => [String(other), `Version ${other}`] as const)}
          />
          <TextLine
            id="on"
            name="on"
            type="date"
            label="Parameters as of"
            hint="Empty: of the day of each claim"
            trouble={trouble}
            short
          />
        </div>
        <button className="go" disabled={rehearsing.running}>
          {rehearsing.running ? 'Starting…' : 'Start the rehearsal'}
        </button>
      </form>
    </section>
  );
}

/** What was typed as a wish; days begin at midnight UTC. @throws Trouble where a number is none */
function wishOf(form: FormData): RehearsalWish {
  const text = (name: string): string => {
    const value = form.get(name);
    return typeof value === 'string' ? value.trim() : '';
  };
  const sample = text('sample');
  if (sample !== '' && !/^[1-9]\d{0,6}$/.test(sample)) {
    const detail = 'Give a whole number from 1 on, or leave it empty for all claims.';
    throw new Trouble(400, 'invalid-request', 'Something in the form needs another look.', detail, [
      { pointer: '#/sample', detail },
    ]);
  }
  return {
    ...(text('from') === '' ? {} : { from: `${text('from')}T00:00:00Z` }),
    ...(text('to') === '' ? {} : { to: `${text('to')}T00:00:00Z` }),
    ...(sample === '' ? {} : { sample: Number(sample) }),
    ...(text('against') === '' ? {} : { against: Number(text('against')) }),
    ...(text('on') === '' ? {} : { on: text('on') }),
  };
}
