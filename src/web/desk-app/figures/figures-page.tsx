import './figures.css';
import { getRouteApi, useNavigate } from '@tanstack/react-router';
import { useState, type ReactNode } from 'react';
import type { Figures } from '../../../insight/insight.contract.js';
import { showDate } from '../../domain/time-words.js';
import { useFigures, type FiguresSearch } from '../api/figures.js';
import { Trouble } from '../api/http.js';
import { useKeys } from '../keys.js';
import { TroubleNote } from '../parts/fields.js';
import { Time } from '../parts/parts.js';
import { Pick } from '../parts/pick.js';
import { Empty, Failing, Loading } from '../parts/states.js';
import { useTitle } from '../parts/title.js';
import { Broken, Decisions, Money, RulesAndChecks } from './figures-charts.js';

const route = getRouteApi('/figures');

/** What all claims say at once. */
export function FiguresPage(): ReactNode {
  const search = route.useSearch();
  const navigate = useNavigate();
  const found = useFigures(search);
  const [numbers, setNumbers] = useState(true);
  useTitle('Figures');
  const turn = () => setNumbers(!numbers);
  useKeys({ n: turn });
  const go = (change: FiguresSearch) =>
    void navigate({ to: '/figures', search: { ...search, ...change }, replace: true });
  return (
    <>
      <div className="head">
        <div>
          <h1>Figures</h1>
          {found.data === undefined ? null : (
            <p className="quiet">
              {showDate(found.data.wish.from)} to {showDate(found.data.wish.until)}, worked out{' '}
              <Time at={found.data.asOf} />
            </p>
          )}
        </div>
        <p className="row noprint">
          <button type="button" aria-pressed={numbers} onClick={turn}>
            Numbers <kbd>n</kbd>
          </button>
          <button type="button" disabled={found.isFetching} onClick={() => void found.refetch()}>
            Work out again
          </button>
        </p>
      </div>
      <Narrow search={search} figures={found.data} go={go} />
      {found.isPending ? <Loading what="the figures" /> : null}
      {found.isError ? <Refused trouble={found.error} again={() => void found.refetch()} /> : null}
      {found.data === undefined || found.isError ? null : (
        <div className="figures-page" aria-busy={found.isPlaceholderData} key={String(numbers)}>
          {nothingIn(found.data) ? (
            <Empty>
              Nothing was filed, decided or opened in these days, and no case is open. Choose other days, another
              retailer or another maker.
            </Empty>
          ) : (
            <>
              <Decisions figures={found.data} numbers={numbers} />
              <Broken figures={found.data} numbers={numbers} />
              <Money figures={found.data} numbers={numbers} />
              <RulesAndChecks figures={found.data} numbers={numbers} />
            </>
          )}
        </div>
      )}
    </>
  );
}

/** Days that cannot be are told as what is wrong with them; asking again would not help. */
function Refused({ trouble, again }: { readonly trouble: Error; readonly again: () => void }): ReactNode {
  const wrong = trouble instanceof Trouble && trouble.faults.length > 0;
  return wrong ? <TroubleNote trouble={trouble} /> : <Failing trouble={trouble} again={again} />;
}

function nothingIn({ decided, open, classes, overrides, money, checks, times }: Figures): boolean {
  const lists = [decided, open, classes, overrides, money, checks, times.byMonth];
  return lists.every((list) => list.length === 0) && times.firstLook.waiting + times.firstLook.count === 0;
}

interface NarrowProps {
  readonly search: FiguresSearch;
  readonly figures: Figures | undefined;
  readonly go: (change: FiguresSearch) => void;
}

/** Days, retailer and maker. */
function Narrow({ search, figures, go }: NarrowProps): ReactNode {
  const { makers = [], retailers = [] } = figures?.choices ?? {};
  return (
    <div className="row filters noprint">
      <Day name="from" label="From" value={search.from ?? figures?.wish.from ?? ''} go={go} />
      <Day name="until" label="To" value={search.until ?? figures?.wish.until ?? ''} go={go} />
      <Pick
        id="retailer"
        label="Retailer"
        value={search.retailer ?? ''}
        onPick={(retailer) => go({ retailer })}
        options={[['', 'All'], ...retailers.map(({ id, name }) => [id, name] as const)]}
      />
      <Pick
        id="maker"
        label="Maker"
        value={search.maker ?? ''}
        onPick={(maker) => go({ maker })}
        options={[['', 'All'], ...makers.map((maker) => [maker, maker] as const)]}
      />
    </div>
  );
}

/** A day that takes effect once it is whole; while it is typed it stays the browser's. */
function Day(props: {
  readonly name: 'from' | 'until';
  readonly label: string;
  readonly value: string;
  readonly go: NarrowProps['go'];
}): ReactNode {
  const { name, label, value, go } = props;
  const take = (day: string): void => {
    if (/^[12]\d{3}-\d\d-\d\d$/.test(day) && day !== value) go({ [name]: day });
  };
  return (
    <div className="field short">
      <label htmlFor={name}>{label}</label>
      <input
        key={value}
        id={name}
        type="date"
        defaultValue={value}
        onBlur={(event) => take(event.currentTarget.value)}
        onKeyDown={(event) => {
          if (event.key === 'Enter') take(event.currentTarget.value);
        }}
      />
    </div>
  );
}
